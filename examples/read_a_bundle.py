"""Open a sealed dossier with the standard library, after checking it: `python read_a_bundle.py j-05.zip`."""

import json
import sys
import zipfile
from collections import Counter
from pathlib import Path

from brightroot.store.verifier import verify


def main(path: Path) -> None:
    found = verify(path)
    if not found["ok"]:
        print("does not hold:", *(fault["says"] for fault in found["faults"]), sep="\n  ")
        return
    print("holds")
    with zipfile.ZipFile(path) as bundle:
        events = [json.loads(line) for line in bundle.read("log.jsonl").splitlines()]
        verdicts = json.loads(bundle.read("verdicts.json"))
    for outcome, count in sorted(Counter(v["outcome"] for v in verdicts).items()):
        print(f"{count:3} clauses {outcome}")
    print(f"{len(events)} events, the last {events[-1].get('kind', '')}")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
