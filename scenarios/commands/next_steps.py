"""The last line of every command: what a user would ask next."""

NEXT = {
    "new": "noseload describe {file}    (once your own readings are in)",
    "overview": "noseload describe {file}    (everything the file says)",
    "describe": "noseload compare {file}    (what your setups change)",
    "creep": "noseload sweep {file}    (over all grades, with the limits)",
    "sweep": "noseload rank {file}    (what would help)",
    "weigh": "write the numbers into your file, then: noseload describe {file}",
    "measure": "write the number into your file, then: noseload describe {file}",
    "sheet": "print it, measure, write the numbers into your file, then: noseload describe {file}",
    "readings": "noseload describe {file}    (which numbers are assumed or doubtful)",
    "bench": "noseload compare {file}    (the same setups on a climb)",
    "compare": "noseload rank {file}    (what would help more)",
    "doubts": "noseload sheet    (the measuring order to print: settle the first doubt first)",
    "modes": "noseload punch {file} --grade 20    (what a throttle punch sets moving)",
    "punch": "noseload limits {file}    (on which grades a punch lifts the front)",
    "animate": "noseload post {file}    (one picture of the answer)",
    "limits": "noseload compare {file} --punch    (setups side by side in a punch)",
    "map": "noseload compare {file} --punch    (what makes the difference)",
    "links": "noseload aim {file} --most-front-load    (what any linkage could give)",
    "explore": "noseload compare {file}    (saved setups against the file as written)",
    "aim": "noseload compare {file}    (once the setup is in your file)",
    "wheels": "noseload wheels {file} --setups all    (what your setups do to the first wheel)",
    "post": "noseload trial --help    (before anybody believes it: a blinded trial)",
    "rank": "noseload trial --help    (the change you choose, in a blinded trial)",
    "survey": "noseload {file}    (your own vehicle in fifteen lines)",
    "trial": "noseload trial --help    (plan, seal, rehearse, read)",
    "report": "noseload trial --help    (what would settle it: a blinded trial)",
}
"""By command; `{file}` is the vehicle file given, or stands away."""


def next_line(command: str, files: list[str], step: str | None = None) -> str:
    """'next: noseload rank my-crawler.toml    (what would help more)'.

    Parameters
    ----------
    command : str
    files : list of str
        Vehicle files given.
    step : str, optional
        What this run found to be next, in place of the usual step of the command.
    """
    from shlex import quote

    file = quote(files[0]) if files else ""
    words = (step or NEXT[command]).replace("{file}", file).split("    ")
    return "next: " + "    ".join(part.strip().replace("  ", " ") for part in words)
