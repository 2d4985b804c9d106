"""`brightroot calc`: one JSON case in, one JSON object out."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import typer

from brightroot.app.calc import answer
from brightroot.base.errors import Refused
from brightroot.cli.output import MISUSE
from brightroot.library.load import load_library

STOPPED = 130
PATIENCE_S = 0.5


def run_calc(engine: str, case: str, *, out: Path | None, at_s: float | None = None) -> None:
    """Read, ask, print; a refused case is its error object and exit 64."""
    began = time.perf_counter()
    try:
        found = answer(engine, _read(case), at_s=at_s, progress=_progress(began), library=load_library)
    except KeyboardInterrupt:
        print("\nstopped: nothing was written", file=sys.stderr)
        raise typer.Exit(STOPPED) from None
    refused = _timed(found, time.perf_counter() - began)
    text = json.dumps(found, ensure_ascii=False, allow_nan=False)
    print(text)
    if out:
        out.write_text(text + "\n", encoding="utf-8")
    if refused:
        raise typer.Exit(MISUSE)


def _progress(began: float) -> Callable[[float, float], None]:
    """Says how far a long case has come, on a terminal and after half a second; the answer alone goes to standard output."""

    def heard(done: float, of: float) -> None:
        if sys.stderr.isatty() and time.perf_counter() - began > PATIENCE_S:
            end = "\n" if done >= of else ""
            print(f"\r{100 * done / of if of else 100:3.0f} % (Ctrl-C stops)", end=end, file=sys.stderr, flush=True)

    return heard


def _timed(found: Any, seconds: float) -> bool:
    """Put the elapsed time into the answers; true where any case was refused."""
    rows = list(_answers(found))
    for row in rows:
        if row.get("ok") is not False:
            row["elapsed_s"] = round(seconds / len(rows), 6)
    return any(row.get("ok") is False for row in rows)


def _answers(found: Any) -> Iterator[dict[str, Any]]:
    """Every answer, also of a case that asked for several moments."""
    if isinstance(found, list):
        for one in found:
            yield from _answers(one)
    else:
        yield found


def _read(case: str) -> Any:
    try:
        text = sys.stdin.read() if case == "-" else Path(case).read_text(encoding="utf-8")
    except OSError as fault:
        raise Refused(field="case", wanted="a JSON file, or - for standard input", got=case) from fault
    try:
        return json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as fault:
        raise Refused(field="case", wanted="JSON", got=f"{fault.msg} at line {fault.lineno}") from fault


def _no_constant(name: str) -> float:
    raise Refused(field="case", wanted="finite numbers", got=name)
