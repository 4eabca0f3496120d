"""The command line: ``turnsketch plan JOB`` and its sisters.

Exit status: 0 done; 1 a *stop* finding stands (files are written, marked); 2 bad input or usage;
130 interrupted. What goes wrong is told on one line of standard error, never as a traceback.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final, NoReturn

from turnsketch.cli_files import FILES, check_targets, write_files
from turnsketch.console import Console, counted, one_line
from turnsketch.errors import InputError, TurnSketchError
from turnsketch.version import VERSION

if TYPE_CHECKING:
    from turnsketch.job import Job
    from turnsketch.plan_records import Plan
    from turnsketch.shop.records import Shop

__all__ = ["main"]

DONE: Final = 0
STOP: Final = 1
BAD: Final = 2
INTERRUPTED: Final = 130


class _Parser(argparse.ArgumentParser):
    """A parser whose complaints are one line, like all others."""

    def error(self, message: str) -> NoReturn:
        raise InputError(f"{message}; see {self.prog} --help")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line and return its exit status.

    Parameters
    ----------
    arguments : sequence of str, optional
        What stands behind the program's name; that of this process when omitted.
    """
    out, err = Console(sys.stdout), Console(sys.stderr)
    try:
        status = _run(sys.argv[1:] if arguments is None else arguments, out, err)
        out.close()
    except InputError as error:
        return _failed(err, str(InputError(error.what, counted(error.where))))
    except TurnSketchError as error:
        return _failed(err, str(error))
    except KeyboardInterrupt:
        err.line("turnsketch: interrupted")
        return INTERRUPTED
    except (MemoryError, RecursionError):
        return _failed(err, "this is too large for the memory of this computer")
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        return _failed(err, f"{where}{error.strerror or error}")
    except Exception as error:
        if os.environ.get("TURNSKETCH_DEBUG"):
            raise
        return _failed(
            err,
            f"a fault of the program itself ({type(error).__name__}: {error}); please report it "
            "with the job file (TURNSKETCH_DEBUG=1 shows where)",
        )
    return status


def _failed(err: Console, message: str) -> int:
    err.line(f"turnsketch: {one_line(message)}")
    return BAD


def _run(arguments: Sequence[str], out: Console, err: Console) -> int:
    if not arguments or (arguments[0] not in _VERBS and not arguments[0].startswith("-")):
        return _desk(arguments)
    if arguments[0].startswith("-") and arguments[0] not in _OPTIONS:
        raise InputError(f"{arguments[0]} is not known; see turnsketch --help")
    try:
        options = _parser().parse_args(arguments)
    except SystemExit as done:  # --help and --version have printed
        return int(done.code or 0)
    run: Callable[[argparse.Namespace, Console, Console], int] = options.run
    return run(options, out, err)


def _parser() -> _Parser:
    parser = _Parser(
        prog="turnsketch",
        description="Plan a turned part for a lathe moved by hand. Without a verb: open the desk.",
        epilog="Exit status: 0 done, 1 a stop finding stands, 2 bad input or usage.",
    )
    parser.add_argument("--version", action="version", version=f"turnsketch {VERSION}")
    verbs = parser.add_subparsers(metavar="VERB", required=True)

    plan = verbs.add_parser("plan", help="plan a job, print its passes, write files")
    _job_arguments(plan)
    plan.add_argument("--pdf", metavar="FILE", help="write the pass sheet")
    plan.add_argument("--csv", metavar="FILE", help="write the passes as a table")
    plan.add_argument("--json", metavar="FILE", help="write the plan for other programs")
    plan.add_argument("--picture", metavar="FILE", help="write a picture, .svg or .png")
    plan.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="paper of the sheet")
    plan.add_argument(
        "--gauge", action="store_true", help="add a page to cut out as a gauge, in true size"
    )
    _setups_argument(plan)
    plan.set_defaults(run=_plan)

    check = verbs.add_parser("check", help="print the findings of a job alone")
    _job_arguments(check)
    _setups_argument(check)
    check.set_defaults(run=_check)

    shop = verbs.add_parser("shop", help="list the lathes, chucks, tools and materials of a shop")
    _shop_argument(shop)
    shop.set_defaults(run=_list_shop)

    schema = verbs.add_parser("schema", help="print the JSON Schema of a file")
    schema.add_argument("name", choices=("job", "plan", "shop"))
    schema.set_defaults(run=_schema)

    demo = verbs.add_parser("demo", help="list the demo parts, show one, or copy one")
    demo.add_argument("name", nargs="?", metavar="NAME")
    demo.add_argument("--copy-to", metavar="DIR", help="copy its job file into this folder")
    demo.set_defaults(run=_demo)

    convert = verbs.add_parser("convert", help="an outline from a drawing file (not there yet)")
    convert.add_argument("file", metavar="FILE")
    convert.add_argument("--to", metavar="JOB")
    convert.set_defaults(run=_convert)
    return parser


_VERBS: Final = ("plan", "check", "shop", "schema", "demo", "convert")
_OPTIONS: Final = ("-h", "--help", "--version")


def _job_arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("job", metavar="JOB", help="a job file, or the name of a demo part")
    _shop_argument(parser)


def _shop_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--shop", metavar="FILE", help="a shop file; the built-in shop when omitted"
    )


def _setups_argument(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--propose-setups",
        action="store_true",
        help="take the program's blank and setups in place of the job's, and say why they are so",
    )


def _desk(arguments: Sequence[str]) -> int:
    from turnsketch.document.demo import demo_names

    if len(arguments) > 1:
        raise InputError(f'"{arguments[0]}" is no verb: use {", ".join(_VERBS)}')
    name = arguments[0] if arguments else None
    if name is not None and not os.path.exists(name) and name not in demo_names():
        raise InputError(
            f'"{name}" is no verb ({", ".join(_VERBS)}), no demo part, and there is no such file'
        )
    from turnsketch.desk.application import open_desk

    return open_desk(name)


def _plan(options: argparse.Namespace, out: Console, err: Console) -> int:
    from turnsketch.cli_tables import plan_lines

    wanted = {name: path for name in FILES if (path := getattr(options, name)) is not None}
    check_targets(wanted)
    job, shop = _job(options.job), _shop(options.shop)
    table = err if "-" in wanted.values() else out
    if options.propose_setups:
        job = _proposed(job, shop, options.job, table)
    plan = _planned(job, shop, options.job)
    write_files(plan, wanted, out, options.paper, gauge=options.gauge)
    for line in plan_lines(plan, table.fit):
        table.line(line)
    return _status(plan)


def _check(options: argparse.Namespace, out: Console, err: Console) -> int:
    from turnsketch.cli_tables import findings_lines

    job, shop = _job(options.job), _shop(options.shop)
    if options.propose_setups:
        job = _proposed(job, shop, options.job, out)
    plan = _planned(job, shop, options.job)
    for line in findings_lines(plan, out.fit):
        out.line(line)
    return _status(plan)


def _list_shop(options: argparse.Namespace, out: Console, err: Console) -> int:
    from turnsketch.cli_shop import shop_lines

    for line in shop_lines(_shop(options.shop), out.fit):
        out.line(line)
    return DONE


def _schema(options: argparse.Namespace, out: Console, err: Console) -> int:
    import json

    from turnsketch.document.schema import schema

    out.line(json.dumps(schema(options.name), indent=1))
    return DONE


def _demo(options: argparse.Namespace, out: Console, err: Console) -> int:
    from turnsketch.document.demo import copy_demo, demo_names, load_demo

    if options.name is None:
        if options.copy_to is not None:
            raise InputError("give the name of the demo part to copy")
        for name in demo_names():
            out.line(f"{name:<14}{load_demo(name).title}")
        return DONE
    job = load_demo(options.name)
    if options.copy_to is not None:
        out.line(str(copy_demo(options.name, Path(options.copy_to))))
        return DONE
    out.line(job.title)
    out.line(f"{job.part.material}, on the lathe {job.lathe}, in {job.units}")
    if job.note:
        out.line(job.note)
    out.line(f"plan it: turnsketch plan {options.name} --pdf {options.name}.pdf")
    return DONE


def _convert(options: argparse.Namespace, out: Console, err: Console) -> int:
    raise InputError("drawing files cannot be converted yet in this version", options.file)


def _status(plan: Plan) -> int:
    return STOP if any(finding.severity == "stop" for finding in plan.findings) else DONE


def _job(text: str) -> Job:
    from turnsketch.document.demo import demo_names, load_demo
    from turnsketch.document.files import load

    if not os.path.exists(text) and text in demo_names():
        return load_demo(text)
    return load(text)


def _shop(path: str | None) -> Shop:
    from turnsketch.shop.files import demo_shop, load_shop

    return demo_shop() if path is None else load_shop(path)


def _planned(job: Job, shop: Shop, name: str) -> Plan:
    from turnsketch.document.sheets import plan
    from turnsketch.strict_json import in_file

    try:
        made = plan(job, shop)
    except InputError as error:
        raise in_file(error, name) from None
    for finding in made.findings:
        if finding.code == "print-contradiction":  # no part can have these sizes: bad input
            raise InputError(f"{finding.message}: {finding.remedy}", f"{name}: part")
    return made


def _proposed(job: Job, shop: Shop, name: str, told: Console) -> Job:
    """Return the job with the program's blank and setups; say why they are so."""
    from turnsketch.cli_tables import proposal_lines
    from turnsketch.pipeline.propose_setups import propose_setups
    from turnsketch.strict_json import in_file

    try:
        made = propose_setups(job, shop)
    except InputError as error:
        raise in_file(error, name) from None
    for line in proposal_lines(made.job, made.reasons):
        told.line(line)
    return made.job
