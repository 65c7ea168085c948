"""The calculations alone, from the command line: `python -m calcs`."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Iterable
from pathlib import Path

from calcs.drawing import ceiling_plan_svg, elevation_svg, roof_plan_svg
from calcs.drawing.draft_plots import draft_over_height_svg, draft_over_temperature_svg
from calcs.plan import Plan, make_plan
from calcs.plan_file import read_plan_inputs
from calcs.plan_text import plan_text
from calcs.rule_markdown import rules_markdown
from calcs.rule_sheet import Line, chapters, search
from calcs.rulebook import codes, load_rulebook
from calcs.unit_javascript import units_javascript

_EXAMPLES = Path(__file__).with_name("examples")
_DRAWINGS = {
    "elevation": elevation_svg,
    "ceiling": ceiling_plan_svg,
    "roof": roof_plan_svg,
    "draft-by-weather": draft_over_temperature_svg,
    "draft-by-height": draft_over_height_svg,
}


def main(arguments: list[str] | None = None) -> int:
    """Run one command and return its exit status: 0, or 2 after one sentence on what is wrong.

    Parameters
    ----------
    arguments : list of str or None
        What is written after `python -m calcs`; None takes the program's own [-]

    Returns
    -------
    int
        Exit status [-]

    Examples
    --------
    >>> main(["rules", "us", "R1003.9", "radius"])
    termination.above_radius: 2 ft, 0.6096 m [IRC R1003.9, 2012, ...; read]
    termination.radius: 10 ft, 3.048 m [IRC R1003.9, 2012, ...; read]
    0
    """
    asked = _parser().parse_args(arguments)
    try:
        _write(asked.run(asked))
    except BrokenPipeError:
        # Whoever reads has enough; what Python flushes on its way out has to go somewhere.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except OSError as error:
        return _refuse(f"{error.filename}: {error.strerror}" if error.filename else str(error))
    except UnicodeDecodeError:
        return _refuse(f"{asked.file}: it is no text in UTF-8")
    except ValueError as error:
        return _refuse(f"{asked.file}: {error}" if getattr(asked, "file", "") else str(error))
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m calcs", description="The calculations alone.")
    commands = parser.add_subparsers(required=True, metavar="command")

    plan = commands.add_parser("plan", help="plan an installation from a JSON file")
    plan.add_argument("file", help="the file, or - for standard input; `example` writes one to begin with")
    form = plan.add_mutually_exclusive_group()
    form.add_argument("--json", action="store_true", help="the whole plan as JSON")
    form.add_argument("--drawing", choices=sorted(_DRAWINGS), help="a drawing as SVG")
    plan.set_defaults(run=_plan)

    example = commands.add_parser("example", help="an invented house as a JSON file to begin with")
    example.add_argument("rulebook", choices=codes(), nargs="?", default="us")
    example.set_defaults(run=_example)

    rules = commands.add_parser("rules", help="what a rule book holds, with its sources")
    rules.add_argument("rulebook", choices=codes(), nargs="?")
    rules.add_argument("words", nargs="*", help="only the rules that hold these words")
    rules.add_argument("--markdown", action="store_true", help="all rule books as the page docs/rules.md")
    rules.set_defaults(run=_rules)

    units = commands.add_parser("units", help="what is understood as a unit, for other programs")
    units.add_argument(
        "--javascript", action="store_true", required=True, help="as the module static/tablet/unit_table.js"
    )
    units.set_defaults(run=_units)
    return parser


def _plan(asked: argparse.Namespace) -> Iterable[str]:
    text = sys.stdin.read() if asked.file == "-" else Path(asked.file).read_text(encoding="utf-8")
    inputs = read_plan_inputs(text)
    plan: Plan = make_plan(
        inputs.survey, inputs.appliance, inputs.chimney, inputs.rulebook, system=inputs.system
    )
    if asked.json:
        return [json.dumps(plan.to_dict(), indent=2, ensure_ascii=False)]
    if not asked.drawing:
        return plan_text(plan)
    drawn = _DRAWINGS[asked.drawing](plan)
    if not drawn:
        raise ValueError(f"{asked.drawing} cannot be drawn: the plan tells what is not known")
    return [drawn]


def _example(asked: argparse.Namespace) -> Iterable[str]:
    return [(_EXAMPLES / f"{asked.rulebook}.json").read_text(encoding="utf-8").rstrip()]


def _rules(asked: argparse.Namespace) -> Iterable[str]:
    if asked.markdown:
        return rules_markdown()
    if asked.rulebook is None:
        raise ValueError(f"rules: choose one of {', '.join(codes())}, or --markdown for all")
    book = load_rulebook(asked.rulebook)
    found = search(book, " ".join(asked.words))
    if asked.words and not found:
        raise ValueError(f"no rule of {book.code} holds {' '.join(asked.words)!r}")
    return [_rule(line) for chapter in chapters(book) for line in chapter.lines if line in found]


def _units(_: argparse.Namespace) -> Iterable[str]:
    return units_javascript()


def _rule(line: Line) -> str:
    figures = ", ".join(part for part in (line.printed, line.si) if part)
    source = ", ".join(part for part in (line.source.reference, line.source.edition) if part)
    return f"{line.key}: {figures} [{source}; {line.source.provenance}]"


def _write(lines: Iterable[str]) -> None:
    for line in lines:
        sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _refuse(sentence: str) -> int:
    sys.stderr.write(f"python -m calcs: {sentence}\n")
    return 2


if __name__ == "__main__":
    sys.exit(main())
