"""The readings as a table, read by others: pandas and polars take the CSV with the right kinds of columns, `jsonschema` holds the JSON against its schema.

    python3 tests/outside/readings.py PATH_OF_GUDGEON

A package that is missing ends the run with a failure.
"""

import csv
import io
import json
import math
import subprocess
import sys
import tempfile
import unicodedata
from pathlib import Path

import jsonschema
import pandas
import polars

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ["samples/as-written", "samples/corrected", "samples/ahead"]

# What each column holds, as grammar/READINGS.md has it.
WHOLE = {"line", "column", "stale_since"}
FIGURES = {
    "meter", "angle", "value", "base_value", "low", "high", "u", "limit_low", "limit_high", "temperature", "mended_from",
}
FLAGS = {"close", "counts", "forecast", "unsure"}
DATES = {"date"}

# What names may be made of: what begins a formula, right-to-left text, signs that turn the direction, letters put together.
PARTS = ["+1+1", "-2", "'tis", "מסב \u202eימין", "汉 e\u0301"]
JOB = '=HYPERLINK("x", 1)'
MACHINE = '@SUM(A1) <b>"a", \u202eמסב</b>'


def run(gudgeon: str, *words: str, folder: Path = ROOT) -> str:
    done = subprocess.run([gudgeon, "report", *words], cwd=folder, capture_output=True, timeout=120)
    if done.returncode != 0:
        raise SystemExit(f"report {' '.join(words)} ended with {done.returncode}: {done.stderr.decode()}")
    return done.stdout.decode("utf-8")


def must(holds: bool, what: str) -> None:
    if not holds:
        raise SystemExit(f"not so: {what}")


def by_pandas(table: str, rows: list[dict]) -> dict:
    """Read with nothing said but which column is a date. Gives the mean of each feature's base value and how many there are."""
    frame = pandas.read_csv(io.StringIO(table), parse_dates=["date"])
    must(len(frame) == len(rows), f"pandas reads {len(frame)} of {len(rows)} rows")
    for name in frame.columns:
        kind = frame[name].dtype
        if frame[name].isna().all():
            continue
        if name in FIGURES or name == "stale_since":
            # A whole number that may be missing is a float to pandas.
            must(pandas.api.types.is_numeric_dtype(kind), f"{name} is {kind} to pandas")
        elif name in WHOLE:
            must(pandas.api.types.is_integer_dtype(kind), f"{name} is {kind} to pandas")
        elif name in FLAGS:
            must(pandas.api.types.is_bool_dtype(kind), f"{name} is {kind} to pandas")
        elif name in DATES:
            must(pandas.api.types.is_datetime64_any_dtype(kind), f"{name} is {kind} to pandas")
        else:
            must(not pandas.api.types.is_numeric_dtype(kind), f"{name} is {kind} to pandas")
    must(pandas.api.types.is_float_dtype(frame["value"].dtype), "value is a float to pandas")
    groups = frame.groupby(["feature", "base_unit"], dropna=False)["base_value"].agg(["mean", "count"])
    return {key[0]: (row["mean"], int(row["count"])) for key, row in groups.iterrows()}


def by_polars(table: str, rows: list[dict]) -> dict:
    """The same by polars, which takes the kinds of the whole table, not of its beginning."""
    frame = polars.read_csv(io.StringIO(table), try_parse_dates=True, infer_schema_length=None)
    must(frame.height == len(rows), f"polars reads {frame.height} of {len(rows)} rows")
    for name, kind in frame.schema.items():
        if frame[name].null_count() == frame.height:
            continue
        if name in WHOLE:
            must(kind.is_integer(), f"{name} is {kind} to polars")
        elif name in FIGURES:
            must(kind.is_numeric(), f"{name} is {kind} to polars")
        elif name in FLAGS:
            must(kind == polars.Boolean, f"{name} is {kind} to polars")
        elif name in DATES:
            must(kind == polars.Date, f"{name} is {kind} to polars")
        elif name == "time":
            must(kind in (polars.Time, polars.String), f"{name} is {kind} to polars")
        else:
            must(kind == polars.String, f"{name} is {kind} to polars")
    must(frame.schema["value"] == polars.Float64, "value is a float to polars")
    groups = frame.group_by("feature", "base_unit").agg(
        polars.col("base_value").mean().alias("mean"), polars.col("base_value").count().alias("count")
    )
    return {row["feature"]: (row["mean"], row["count"]) for row in groups.iter_rows(named=True)}


def expected(rows: list[dict]) -> dict:
    groups: dict[str, list[float]] = {}
    for row in rows:
        groups.setdefault(row["feature"], []).append(row["base_value"])
    return {name: (math.fsum(values) / len(values), len(values)) for name, values in groups.items()}


def alike(ours: dict, theirs: dict, whose: str) -> None:
    must(ours.keys() == theirs.keys(), f"the features by {whose}")
    for name, (mean, count) in ours.items():
        must(theirs[name][1] == count, f"{whose} counts {theirs[name][1]} figures of {name}, not {count}")
        must(math.isclose(theirs[name][0], mean, rel_tol=1e-12, abs_tol=1e-12), f"the mean of {name} by {whose}")


def cells_are_fields(table: str, rows: list[dict]) -> None:
    """Every cell against its field, by Python's own reader: one apostrophe off a text is the text."""
    for record, row in zip(csv.DictReader(io.StringIO(table, newline="")), rows, strict=True):
        must(record.keys() == row.keys(), f"the columns {record.keys() ^ row.keys()}")
        for name, cell in record.items():
            field = row[name]
            if field is None:
                must(cell == "", f"{name} of an unknown is `{cell}`")
            elif isinstance(field, bool):
                must(cell == str(field).lower(), f"{name}: `{cell}` for {field}")
            elif isinstance(field, (int, float)):
                must(float(cell) == field and "e" not in cell, f"{name}: `{cell}` for {field}")
            else:
                must(cell.removeprefix("'") == field, f"{name}: `{cell}` for `{field}`")
                must(not cell.startswith(tuple("=+-@\t\r\n")), f"{name}: `{cell}` begins a formula")


def names(gudgeon: str, schema: dict) -> None:
    """Names that a table could stumble over, through CSV and JSON and back."""
    with tempfile.TemporaryDirectory() as folder:
        lines = [f"job {JOB}", f"machine {MACHINE}", "2026-03-14 build"]
        lines += [f"width of {part} = 52.0{number} mm" for number, part in enumerate(PARTS)]
        (Path(folder) / "x.rebuild").write_text("\n".join(lines) + "\n", encoding="utf-8")
        document = json.loads(run(gudgeon, "x.rebuild", "--as", "json", folder=Path(folder)))
        jsonschema.validate(document, schema, cls=jsonschema.Draft202012Validator)
        rows = document["readings"]
        parts = [row["part"] for row in rows]
        must([unicodedata.normalize("NFC", part) for part in parts] == [unicodedata.normalize("NFC", part) for part in PARTS], f"the parts {parts}")
        must((rows[0]["job"], rows[0]["machine"]) == (JOB, MACHINE), "the job and the machine as they stand in the log")
        table = run(gudgeon, "x.rebuild", "--as", "csv", folder=Path(folder))
        cells_are_fields(table, rows)
        read = list(pandas.read_csv(io.StringIO(table))["part"])
        must(read == list(polars.read_csv(io.StringIO(table))["part"]), "pandas and polars read the same names")


def main() -> None:
    gudgeon = str(Path(sys.argv[1]).resolve())
    schema = json.loads(run(gudgeon, "--schema"))
    jsonschema.Draft202012Validator.check_schema(schema)
    document = json.loads(run(gudgeon, *FOLDERS, "--as", "json"))
    checker = jsonschema.Draft202012Validator.FORMAT_CHECKER
    jsonschema.Draft202012Validator(schema, format_checker=checker).validate(document)
    # One that says something else must be refused, or the schema says nothing.
    broken = {**document, "readings": [{**document["readings"][0], "value": "52.03", "date": "14.3.2026"}]}
    wrong = {error.json_path for error in jsonschema.Draft202012Validator(schema, format_checker=checker).iter_errors(broken)}
    must(wrong == {"$.readings[0].value", "$.readings[0].date"}, f"what is wrong is refused: {wrong}")
    rows = document["readings"]
    must(len(rows) > 400, f"{len(rows)} rows are too few")
    table = run(gudgeon, *FOLDERS, "--as", "csv")
    cells_are_fields(table, rows)
    alike(expected(rows), by_pandas(table, rows), "pandas")
    alike(expected(rows), by_polars(table, rows), "polars")
    names(gudgeon, schema)
    print(f"readings: {len(rows)} figures of {len({row['path'] for row in rows})} logs read by pandas {pandas.__version__} and polars {polars.__version__}")


if __name__ == "__main__":
    main()
