"""How the command line speaks: JSON or words, and one way to say no."""

from __future__ import annotations

import json
import sys
from typing import Any

PASS, FAIL, UNKNOWN, MISUSE = 0, 1, 2, 64


def exit_of(app: Any) -> int:
    """Run the application; misuse and refusals exit 64 with the one envelope where JSON was asked for."""
    import typer

    from brightroot.base.errors import Broken, Refused

    # typer carries its own copy of the library that raises these; the public class leads to the base of them all
    misuse: type[Any] = next(kind for kind in typer.BadParameter.__mro__ if kind.__name__ == "ClickException")
    as_json = "--json" in sys.argv or (len(sys.argv) > 1 and sys.argv[1] == "calc")
    try:
        answer = app(standalone_mode=False)
        return answer if isinstance(answer, int) else PASS
    except Refused as refused:
        _refused(refused, as_json)
    except Broken as broken:
        envelope = _envelope("broken", field=broken.where, wanted=broken.wanted, got=broken.got)
        _say(envelope, f"Broken: {broken}", as_json)
        return FAIL
    except typer.Exit as leaving:
        return int(leaving.exit_code)
    except typer.Abort:
        return MISUSE
    except misuse as fault:
        envelope = _envelope("misuse", field="", wanted="brightroot --help", got=fault.format_message())
        _say(envelope, f"{fault.format_message()!s} (see brightroot --help)", as_json)
    return MISUSE


def _envelope(error: str, *, field: str, wanted: str, got: str) -> dict[str, Any]:
    """The one error shape, for what is not a refusal."""
    return {"ok": False, "error": error, "field": field, "wanted": wanted, "got": got, "near": [], "see": ""}


def _refused(refused: Any, as_json: bool) -> None:
    from brightroot.render.words import words

    language = sys.argv[sys.argv.index("--language") + 1] if "--language" in sys.argv[:-1] else "en"
    spoken = words(language if language in ("en", "es") else "en")
    lines = "\n".join(spoken.say_refused(one) for one in (refused, *refused.also))
    _say(refused.envelope(), lines, as_json)


def _say(envelope: dict[str, Any], line: str, as_json: bool) -> None:
    if as_json:
        print(json.dumps(envelope, ensure_ascii=False))
    else:
        print(line, file=sys.stderr)


def put(data: Any) -> None:
    """Data as JSON on standard output."""
    print(json.dumps(data, ensure_ascii=False, indent=1))


def pairs(arguments: list[str]) -> dict[str, str]:
    """`name=value` arguments as a table; the value may hold anything."""
    from brightroot.base.errors import Refused

    found = {}
    for argument in arguments:
        name, sign, value = argument.partition("=")
        if not sign:
            raise Refused(field=name, wanted="name=value, like gap_m='2.4 mm'", got=argument, reason="refused.plain")
        found[name.strip()] = value
    return found


def counted(done: int, of: int) -> None:
    """Progress on the terminal's error stream, where somebody is looking at one. Ctrl-C stops the work."""
    if sys.stderr.isatty():
        print(f"\r{done + 1}/{of}", end="\r" if done + 1 < of else "\n", file=sys.stderr, flush=True)
