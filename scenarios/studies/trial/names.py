"""Names of a trial's files within its folder."""

PLAN_FILE, COMMITMENT_FILE, READINGS_FILE = "plan.json", "commitment.txt", "readings.csv"
VEHICLE_FILE = "vehicle.toml"
SEALED_FOLDER = "sealed"
KEY_FILE, FITTINGS_FILE = f"{SEALED_FOLDER}/key.json", f"{SEALED_FOLDER}/fittings.csv"
FILES_READ = (PLAN_FILE, COMMITMENT_FILE, READINGS_FILE, VEHICLE_FILE, KEY_FILE, FITTINGS_FILE)
"""All that are read, the plan first."""
