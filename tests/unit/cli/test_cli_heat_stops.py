"""A long heat case tells how far it has come, and stops when it is asked to, with nothing written."""

import sys
from pathlib import Path

import pytest
import typer

from brightroot.cli import calc

CASE = Path(__file__).parents[2] / "cases/heat/F1_nps1_thin.json"


def test_progress_goes_to_the_terminal_and_not_into_the_answer(monkeypatch, capsys):
    monkeypatch.setattr(calc, "PATIENCE_S", -1.0)
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True, raising=False)
    calc.run_calc("heat", str(CASE), out=None)
    told = capsys.readouterr()
    assert "% (Ctrl-C stops)" in told.err and "100 %" in told.err and "%" not in told.out


def test_a_stop_writes_nothing(monkeypatch, capsys, tmp_path):
    def stopped(began):
        def heard(done, of):
            raise KeyboardInterrupt

        return heard

    monkeypatch.setattr(calc, "_progress", stopped)
    out = tmp_path / "answer.json"
    with pytest.raises(typer.Exit) as left:
        calc.run_calc("heat", str(CASE), out=out)
    told = capsys.readouterr()
    assert left.value.exit_code == calc.STOPPED and "nothing was written" in told.err
    assert told.out == "" and not out.exists()
