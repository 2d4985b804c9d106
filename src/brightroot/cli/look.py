"""`brightroot look`: heat tint read from photographs. A photograph that is refused is an answer; a broken file exits 64."""

from __future__ import annotations

import json
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import typer

from brightroot.app.look import Looked, look_at
from brightroot.base.errors import Refused
from brightroot.cli.output import MISUSE
from brightroot.store.photos import read_photo
from brightroot.store.tint_ways import tint_ways

TOLD = ("base", "card", "weld", "metal", "surface")
KEYS = ("photo", "second", "json", "map", *TOLD)


def run_look(
    photo: Path | None, told: Mapping[str, str], *, second: Path | None, out: Path | None, maps: Path | None,
    many: Path | None,
) -> None:  # fmt: skip
    """One photograph, or one for each line of a list, in one process."""
    if many is not None:
        _many(many, told, out)
        return
    if photo is None:
        raise Refused(field="photo", wanted="a photograph, or --list FILE.jsonl", got="nothing")
    row = {"photo": str(photo), "second": str(second or ""), "map": str(maps or ""), **told}
    answer = _answered(row, Path())
    text = json.dumps(answer, ensure_ascii=False, allow_nan=False)
    if out is not None:
        out.write_text(text + "\n", encoding="utf-8")
    print(text)
    if answer.get("ok") is False:
        raise typer.Exit(MISUSE)


def _many(path: Path, told: Mapping[str, str], out: Path | None) -> None:
    """Each line an object with photo, and base, card, weld, metal, surface, second, json, map as they are needed."""
    try:
        lines = [line for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
        rows = [json.loads(line) for line in lines]
    except (OSError, UnicodeDecodeError, json.JSONDecodeError) as fault:
        raise Refused(field="list", wanted="a file with one JSON object a line", got=str(fault)) from fault
    answers = []
    for row in rows:
        answer = _answered({**told, **_texts(row)}, path.parent)
        answers.append(answer)
        print(json.dumps(answer, ensure_ascii=False, allow_nan=False), flush=True)
    if out is not None:
        out.write_text(json.dumps(answers, ensure_ascii=False, allow_nan=False) + "\n", encoding="utf-8")
    if any(answer.get("ok") is False for answer in answers):
        raise typer.Exit(MISUSE)


def _texts(row: object) -> dict[str, str]:
    """A line's facts as texts; a rectangle may be a list of four numbers."""
    if not isinstance(row, dict):
        return {"photo": ""}
    told = {}
    for name in KEYS:
        value = row.get(name)
        if value not in (None, "", []):
            told[name] = ",".join(str(part) for part in value) if isinstance(value, list) else str(value)
    return told


def _answered(row: Mapping[str, str], beside: Path) -> dict[str, Any]:
    """The answer of one photograph; a refused file or rectangle is its error object, said to be refused as well."""
    began = time.process_time()
    try:
        looked = _looked(row, beside)
        answer = looked.plain()
    except Refused as refused:
        print(str(refused), file=sys.stderr)
        reason = refused.reason.removeprefix("refused.")
        answer = {**refused.envelope(), "answer": "refused", "reasons": [reason], "credible": 0.9}
        looked = None
    answer["elapsed_s"] = round(time.process_time() - began, 4)
    answer["photo"] = row.get("photo", "")
    if looked is not None and row.get("map"):
        np.savez_compressed(beside / row["map"], **looked.maps())  # type: ignore[arg-type]
    if row.get("json"):
        (beside / row["json"]).write_text(
            json.dumps(answer, ensure_ascii=False, allow_nan=False) + "\n", encoding="utf-8"
        )
    return answer


def _looked(row: Mapping[str, str], beside: Path) -> Looked:
    told = {name: row.get(name, "") for name in TOLD}
    second = read_photo(_bytes(beside, row["second"])) if row.get("second") else None
    return look_at(read_photo(_bytes(beside, row.get("photo", ""))), told, tint_ways(), second=second)


def _bytes(beside: Path, name: str) -> bytes:
    path = beside / name
    if not name or not path.is_file():
        raise Refused(field="photo", wanted="the name of a file that is there", got=name, reason="refused.photo_file")
    return path.read_bytes()
