"""Whether a coupon's tests are those that the code asks for, and passed."""

from __future__ import annotations

from brightroot.model.clause import Outcome
from brightroot.model.library import CodeRow
from brightroot.model.qualification import Coupon
from brightroot.rules.welders.book import Book
from brightroot.rules.welders.checks import ASK_RECORD, Found
from brightroot.rules.welders.specimens import volumetric_of


def tests_found(book: Book, coupon: Coupon) -> Found:
    """Every test that the code needs is recorded and passed; of those that may stand for each other, one.

    A failed test fails the coupon whatever the others say. A volumetric test counts only as the code's row for the
    metal allows.
    """
    rows = [row for row in book.table("welder_tests") if "test" in row.cells]
    done = {test.test: test.result for test in coupon.tests}
    got = ", ".join(f"{test.test} {test.result}" for test in coupon.tests)
    wanted = _wanted(rows)
    failed = [row for row in rows if done.get(str(row.cells["test"])) == "failed"]
    if failed or "failed" in done.values():
        return Found(Outcome.FAIL, wanted, got, tuple(failed))
    passed = [row for row in rows if done.get(str(row.cells["test"])) == "passed"]
    every = [row for row in rows if row.cells.get("need") == "all"]
    either = [row for row in rows if row.cells.get("need") == "one"]
    if any(row not in passed for row in every) or (either and not any(row in passed for row in either)):
        return Found(Outcome.UNKNOWN, wanted, got, tuple(every), ASK_RECORD)
    if "bend" in done or not either:
        rests_on = [row for row in passed if row in every or row.cells["test"] == "bend"]
        return Found(Outcome.PASS, wanted, got, tuple(rests_on))
    return _volumetric(book, coupon, wanted, got, passed)


def _volumetric(book: Book, coupon: Coupon, wanted: str, got: str, passed: list[CodeRow]) -> Found:
    row = volumetric_of(book, coupon.p_number)
    if row is None or not coupon.p_number:
        return Found(Outcome.UNKNOWN, wanted, got, tuple(passed), ASK_RECORD)
    outcome = Outcome.PASS if row.cells.get("permitted") is True else Outcome.FAIL
    return Found(outcome, wanted, got, (*passed, row))


def _wanted(rows: list[CodeRow]) -> str:
    every = [str(row.cells["test"]) for row in rows if row.cells.get("need") == "all"]
    either = [str(row.cells["test"]) for row in rows if row.cells.get("need") == "one"]
    return ", ".join([*every, " / ".join(either)] if either else every)
