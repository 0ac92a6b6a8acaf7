#!/usr/bin/env python3
"""The JUnit XML that is written, held against a schema of it (tests/data/junit) by `xmlschema`, and read by `junitparser`.

    python tests/outside/junit.py GUDGEON

The samples, and a log of what XML cannot hold; the counts must be those of `--as json`.
"""

import json
import pathlib
import subprocess
import sys
import tempfile

import junitparser
import xmlschema

ROOT = pathlib.Path(__file__).resolve().parents[2]
HOSTILE = b"job a \x1b[31m<crank> & \x00\x0b\x07\xef\xbf\xbf\nfrobnicate ]]> <!-- \xff \xed\xa0\x80\nmanual no \x01 book\n2026-03-14 build\n"


def inspect(gudgeon: str, folder: pathlib.Path, form: str, *paths: str) -> str:
    done = subprocess.run([gudgeon, "inspect", "--as", form, "--no-baseline", *paths], cwd=folder, capture_output=True, check=False)
    assert b"panicked" not in done.stderr, done.stderr
    return done.stdout.decode("utf-8")


def check(schema: xmlschema.XMLSchema, gudgeon: str, folder: pathlib.Path, *paths: str) -> tuple[int, int, dict]:
    text = inspect(gudgeon, folder, "junit", *paths)
    # As bytes, since it says its own encoding.
    schema.validate(xmlschema.XMLResource(text.encode("utf-8")))
    report = junitparser.JUnitXml.fromstring(text.encode("utf-8"))
    suites = list(report)
    document = json.loads(inspect(gudgeon, folder, "json", *paths))
    files = {file["path"]: file["findings"] for file in document["files"]}
    failed = 0
    for suite in suites:
        cases = list(suite)
        assert suite.tests == len(cases), suite.name
        bad = [case.name for case in cases if any(isinstance(result, junitparser.Failure) for result in case.result)]
        assert suite.failures == len(bad)
        if suite.errors:
            continue
        found = files.pop(suite.name)
        assert {case.name for case in cases} == {"read and judged"} | {finding["code"] for finding in found}, suite.name
        assert set(bad) == {f["code"] for f in found if f["severity"] in ("danger", "fault")}, suite.name
        failed += len(bad)
    assert sum(suite.errors for suite in suites) == len(document["unread"])
    return len(suites), failed, files


def main() -> None:
    gudgeon = str(pathlib.Path(sys.argv[1]).resolve())
    schema = xmlschema.XMLSchema(str(ROOT / "tests/data/junit/junit-10.xsd"))
    suites, failed, left = check(schema, gudgeon, ROOT / "samples")
    assert not left and failed > 10, (left, failed)
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        (folder / "bad.rebuild").write_bytes(HOSTILE)
        (folder / "näme & <co>.rebuild").write_text("job x\nfrobnicate\n", encoding="utf-8")
        more, bad, left = check(schema, gudgeon, folder, ".", "gone.rebuild")
        assert more == 3 and bad >= 2 and not left, (more, bad, left)
    print(f"junit: {suites + more} suites by the schema and by junitparser, {failed + bad} failed cases as --as json has them")


if __name__ == "__main__":
    main()
