"""A joint's bundle: log, attachments, documents and the program that checks them, in one file with one form."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from brightroot.base import ed25519, tree
from brightroot.base.errors import Refused
from brightroot.store import container, proof, verifier
from brightroot.store.container import packed
from brightroot.store.verifier import ATTACHMENTS, FORM, LOG, MANIFEST, SEAL, chain_rows, digest, log_head

VERIFIER = "verify.py"
ENDINGS = {
    "image/jpeg": "jpg",
    "image/png": "png",
    "image/webp": "webp",
    "image/heic": "heic",
    "application/pdf": "pdf",
    "text/plain": "txt",
    "text/csv": "csv",
}
LARGEST = 2**32 - 2**20  # beyond it the container would need another form


def write_bundle(
    path: Path | str,
    *,
    stored: Sequence[bytes],
    attachments: Mapping[str, tuple[bytes, str]],
    files: Mapping[str, bytes],
    about: Mapping[str, Any],
) -> str:
    """Write the bundle and return its seal, the SHA-256 of its manifest. The same input gives the same bytes.

    The file appears whole or not at all. Faults in the log are written as they are: it is for `verify` to show them.
    """
    data, seal = bundle_bytes(stored=stored, attachments=attachments, files=files, about=about)
    _written(Path(path), data)
    return seal


def write_pack(path: Path | str, files: Mapping[str, bytes]) -> None:
    """Several bundles and their index as one file, whole or not at all."""
    _written(Path(path), pack_bytes(files))


def pack_bytes(files: Mapping[str, bytes]) -> bytes:
    """The bytes of a pack: a container of the same one form as a bundle."""
    return packed(dict(files))


def _written(path: Path, data: bytes) -> None:
    part = path.with_name(path.name + ".part")
    with part.open("wb") as out:
        out.write(data)
        out.flush()
        os.fsync(out.fileno())
    part.replace(path)


def bundle_bytes(
    *,
    stored: Sequence[bytes],
    attachments: Mapping[str, tuple[bytes, str]],
    files: Mapping[str, bytes],
    about: Mapping[str, Any],
) -> tuple[bytes, str]:
    """The bytes of the bundle and its seal."""
    log, rows, joint = _log(stored)
    whole = {LOG: log, VERIFIER: verifier_program(), **_attached(attachments), **_named(files)}
    manifest = {
        "form": FORM,
        "joint": joint,
        "about": dict(about),
        "head": log_head(rows),
        "count": sum(row[3] for row in rows),
        "chains": rows,
        "files": {name: {"sha256": digest(content), "size": len(content)} for name, content in whole.items()},
    }
    told = json.dumps(manifest, sort_keys=True, indent=1, ensure_ascii=False, allow_nan=False).encode() + b"\n"
    seal = digest(told)
    if sum(map(len, whole.values())) > LARGEST:
        raise Refused(field="attachments", wanted="less than 4 GB in one bundle", got="more")
    return packed({**whole, MANIFEST: told, SEAL: f"{seal}\n".encode()}), seal


@cache
def verifier_program() -> bytes:
    """The verifier as one file that needs nothing else: what it imports of ours stands in front of it."""
    texts = [
        Path(str(module.__file__)).read_text(encoding="utf-8") for module in (ed25519, tree, proof, container, verifier)
    ]
    own = re.compile(r"^from brightroot\.[\w.]+ import [^\n(]+\n", re.M)
    future = "from __future__ import annotations\n"
    opening, _, rest = texts[-1].partition(future)
    parts = [own.sub("", text.partition(future)[2]) for text in texts[:-1]]
    return (opening + future + "".join(parts) + own.sub("", rest)).encode()


def _log(stored: Sequence[bytes]) -> tuple[bytes, list[list[Any]], str]:
    """The log chain by chain, one stored event a line, whatever order they were given in."""
    lines, unread = verifier.read_log(b"".join(one + b"\n" for one in stored))
    joints = {line["joint"] for line in lines}
    if unread or len(joints) != 1:
        got = f"{len(unread)} that cannot be read" if unread else f"those of {len(joints)} joints"
        raise Refused(field="stored", wanted="the stored events of one joint", got=got)
    lines.sort(key=lambda line: (line["chain"], line["seq"], line["digest"]))
    log = b"".join(stored[line["line"] - 1] + b"\n" for line in lines)
    return log, chain_rows(lines), joints.pop()


def _attached(attachments: Mapping[str, tuple[bytes, str]]) -> dict[str, bytes]:
    return {
        f"{ATTACHMENTS}{name}.{ENDINGS.get(media_type, 'bin')}": content
        for name, (content, media_type) in attachments.items()
    }


def _named(files: Mapping[str, bytes]) -> dict[str, bytes]:
    ours = (LOG, MANIFEST, SEAL, VERIFIER)
    for name in files:
        plain = re.fullmatch(r"[A-Za-z0-9_][A-Za-z0-9_.-]*(/[A-Za-z0-9_][A-Za-z0-9_.-]*)*", name)
        if not plain or name in ours or name.startswith(ATTACHMENTS):
            raise Refused(field="files", wanted=f"a plain name other than {', '.join(ours)}", got=name)
    return dict(files)
