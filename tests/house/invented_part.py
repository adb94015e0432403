"""A program in which the budget has a part more than it has: half of what attitude and gaining speed give, under another name."""

import sys
from importlib.util import find_spec, module_from_spec

NAME = "noseload.model.crawl.budget_parts"
LINE = '    BudgetPart("invented", "invented words", "invented label", "invented group", "#123456", "", "", True, True),\n)\n"""In'


def invent():
    """Put the part into the table before anything reads it, and into what the budget gives."""
    spec = find_spec(NAME)
    text = spec.loader.get_source(NAME)
    changed = text.replace(')\n"""In', LINE, 1)
    if changed == text:
        raise ValueError("the table of parts ends differently now")
    module = module_from_spec(spec)
    sys.modules[NAME] = module
    exec(compile(changed, spec.origin, "exec"), module.__dict__)
    ordered = module.in_told_order

    def with_invented(parts):
        half = 0.5 * (parts["attitude_n"] + parts["lengthwise_acceleration_n"])
        less = {key: 0.5 * parts[key] for key in ("attitude_n", "lengthwise_acceleration_n")}
        return ordered({**parts, **less, "invented_n": half})

    module.in_told_order = with_invented
