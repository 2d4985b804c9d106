"""The one place where the command line builds the outside: folders, store, clock, words, drawing."""

from __future__ import annotations

import os
import time
from pathlib import Path

from brightroot.app.dossier import Paper
from brightroot.app.ports import Place
from brightroot.documents.speech import Speech


def home() -> Path:
    """Where a person's own logs and library folders live: BRIGHTROOT_HOME, or the usual data folder."""
    return Path(os.environ.get("BRIGHTROOT_HOME") or Path.home() / ".local" / "share" / "brightroot")


# what is compiled once is kept with a person's own data, wherever the package itself lies
os.environ.setdefault("NUMBA_CACHE_DIR", str(home() / "compiled"))


def logs_at(store: Path | None) -> Path | str:
    """Where the logs are: the file asked for, else what BRIGHTROOT_STORE names, else a file in the data folder."""
    return store or os.environ.get("BRIGHTROOT_STORE") or home() / "logs.sqlite3"


def place_at(store: Path | None, *, device: str = "bench") -> Place:
    """The facts, the logs and the clock. The file is made when it is first written to.

    Without a file of its own a shop's BRIGHTROOT_STORE may name one, or a `postgresql://` address.
    """
    from brightroot.library.load import load_library
    from brightroot.store.logs import open_store

    where = logs_at(store)
    own = home() / "library"
    library = load_library(own) if own.is_dir() else load_library()
    if own.is_dir():
        from brightroot.app.rules_read import check_own_folders

        check_own_folders(library, load_library())
    return Place(library, open_store(where, device=device), time.time)


def speech(language: str, units: str) -> Speech:
    """Words and units for what is printed."""
    from brightroot.render.words import words

    return Speech(words(language).say, units, language)


def paper(language: str, units: str, size: str) -> Paper:
    """Everything that a dossier needs to become paper."""
    from brightroot.render.drawing import drawing
    from brightroot.render.pdf import pdf

    return Paper(speech(language, units), drawing(language), pdf, size)
