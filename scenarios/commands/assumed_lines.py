"""Text lines about the assumed values that moved an answer."""


def assumed_lines(effects: tuple, unit: str, scale: float = 1.0) -> list:
    """Lines for people; none where nothing assumed mattered."""
    if not effects:
        return []
    lines = ["", "assumed values that move this answer (measure them to be surer):"]
    for e in effects:
        moves = (
            "an end of the range has no answer" if e.moves_by is None else f"by up to {scale * e.moves_by:.2g} {unit}"
        )
        lines.append(f"  {e.key} {e.value:g} ({e.low:g} .. {e.high:g} {e.unit}): {moves}")
    return lines
