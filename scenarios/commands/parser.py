"""The argument parser of every command: a misspelt option or word is answered with the nearest one."""

import argparse
import re
import sys
from collections.abc import Sequence
from typing import NoReturn


class Parser(argparse.ArgumentParser):
    """`argparse.ArgumentParser` whose faults name the nearest option."""

    given: tuple[str, ...] = ()

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: argparse.Namespace | None = None
    ) -> tuple[argparse.Namespace, list[str]]:
        """As argparse; what was given is kept for the hint."""
        self.given = tuple(sys.argv[1:] if args is None else args)
        return super().parse_known_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        """Print usage and the fault with its hint; ends with exit code 2."""
        super().error(message + self._hint(message))

    def _hint(self, message: str) -> str:
        if message.startswith("unrecognized arguments: "):
            given = [word.partition("=")[0] for word in message.partition(": ")[2].split() if word.startswith("-")]
            return _did_you_mean(given, self.options())
        if message.startswith("the following arguments are required: "):
            known = self.options()
            words = [word.partition("=")[0] for word in self.given if word.startswith("--")]
            return _did_you_mean([word for word in words if word not in known], known)
        choice = re.match(r"argument .*: invalid choice: '(.*)' \(choose from (.*)\)", message)
        if choice:
            return _did_you_mean([choice[1]], [word.strip("' ") for word in choice[2].split(",")])
        return ""

    def options(self) -> list[str]:
        """Every long option of this parser and of its subcommands."""
        found = []
        for action in self._actions:
            found += [option for option in action.option_strings if option.startswith("--")]
            for inner in action.choices.values() if isinstance(action.choices, dict) else ():
                if isinstance(inner, Parser):
                    found += inner.options()
        return sorted(set(found))


def _did_you_mean(given: list[str], known: list[str]) -> str:
    from difflib import get_close_matches

    near = [match for word in given for match in get_close_matches(word, known, 1, 0.6)]
    return f"; did you mean {', '.join(near)}?" if near else ""
