import sys

import pytest

from brightroot.cli.main import app
from brightroot.cli.output import exit_of


@pytest.fixture
def ask(tmp_path, monkeypatch, capsys):
    """Run a command in this process with its own folder; its exit code and what it printed."""
    monkeypatch.setenv("BRIGHTROOT_HOME", str(tmp_path))

    def run(*words):
        monkeypatch.setattr(sys, "argv", ["brightroot", *map(str, words)])
        code = exit_of(app)
        return code, capsys.readouterr().out

    return run
