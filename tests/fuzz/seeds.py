#!/usr/bin/env python3
"""Makes what the fuzzer starts from, out of what lies in the tree: `words.dict`, the words of the language, and `seeds/TARGET`, an input a file.

Everything is made anew from the sources at each run, so that no word and no example is forgotten here."""

import hashlib
import json
import re
import shutil
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
BETWEEN = "====\n"
# A seed beyond this is too long to be changed to good purpose.
LONGEST = 6000


def read(path):
    return path.read_bytes().decode("utf-8", "replace")


def strings(*paths):
    """Every plain text between quotes of some Rust sources or grammars, in order."""
    found = {}
    for path in paths:
        code = re.sub(r"(?m)^\s*//.*$|'\\?.'", "", read(path))
        for text in re.findall(r'"((?:[^"\\]|\\.)*)"', code):
            found[text.replace('\\"', '"').replace("\\\\", "\\")] = None
    return list(found)


def words():
    """The words of the language: first words of lines, what the grammar spells out, units, functions, and figures at the edges."""
    source = ROOT / "src"
    names = strings(source / "syntax/keywords.rs", *sorted((ROOT / "grammar").glob("*.pest")))
    names += strings(*sorted((source / "quantity/table").glob("*.rs")), source / "calc/function.rs")
    for path in sorted((source / "trade").glob("*.rs")):
        names += re.findall(r'name: "([^"]+)"', read(path))
    names += [BETWEEN, "\n  ", "\r\n", "\t", "\u00a0", "\ufeff", "\u2028", "\u0130", "汉", "😀", "é", "<b>", "&", "`", '"', "|", "±", "→", "×"]
    names += ["0.50", "0,40", "1/8", "2026-03-14", "2026-03-14 build\n", "2026-02-30", "09:40 ", "52.03 mm", "go 0.40, no-go 0.45 mm", "1e9"]
    names += ["79228162514264337593543950335", "0.0000000000000000000000000001", "-0", "manual m\n", "extends pressed crank\n", "fix web width 52.53 -> 52.03 mm\n"]
    usable = [name for name in dict.fromkeys(names) if 0 < len(name.encode()) <= 60 and not re.search(r"\\u|\{\}", name)]
    return usable + [name + " " for name in usable if re.fullmatch(r"[a-z]+", name)]


def quoted(word):
    """A word as libFuzzer reads it: printable, all else as bytes."""
    plain = (chr(b) if 32 <= b < 127 and chr(b) not in '"\\' else f"\\x{b:02X}" for b in word.encode())
    return '"' + "".join(plain) + '"\n'


def examples(text, kind):
    """The fenced examples of a page."""
    return re.findall(rf"(?ms)^```{kind}[^\n]*\n(.*?)^```", text)


def pairs():
    """Manuals with logs that are judged by them. The fuzz targets know the manual as `m`, by file name; its own name holds too."""
    reference = read(ROOT / "grammar/README.md")
    for log in examples(reference, "rebuild"):
        yield "", log
    for manual in examples(reference, "manual"):
        yield manual, "job x\nmanual m\n2026-03-14 build\n"
    for page in sorted((ROOT / "tests/trade-rules").glob("*.md")):
        for section in re.split(r"(?m)^## ", read(page)):
            manuals = examples(section, "manual")
            for log in examples(section, "rebuild"):
                yield (manuals[0] if manuals else ""), log
    for example in rules():
        yield example
    manuals = {path.stem.lower(): read(path) for path in sorted((ROOT / "tests/clean/manuals").glob("*")) + sorted((ROOT / "samples").rglob("*.manual"))}
    for path in sorted((ROOT / "tests/clean").glob("*.rebuild")) + sorted((ROOT / "samples").rglob("*.rebuild")):
        log = read(path)
        named = re.search(r"(?mi)^manual\s+(.+?)\s*$", log)
        yield manuals.get(named.group(1).lower(), "") if named else "", log
    for path in sorted((ROOT / "src/shelf").glob("*.manual")):
        yield read(path), "job x\nmanual m\n2026-03-14 build\n"


def rules():
    """The examples of every finding, from its page."""
    for section in re.split(r"(?m)^## ", read(ROOT / "grammar/RULES.md")):
        manuals = examples(section, "manual")
        for log in examples(section, "rebuild"):
            yield (manuals[0] if manuals else ""), log


def pieces(log):
    """A log that is too long as its head with one stretch of days after another."""
    lines = log.splitlines(keepends=True)
    days = [at for at, line in enumerate(lines) if re.match(r"\d{4}-\d\d-\d\d", line)]
    if len(log.encode()) <= LONGEST or len(days) < 2:
        yield log
        return
    head = lines[: days[0]]
    for first in range(0, len(days), 3):
        end = days[first + 3] if first + 3 < len(days) else len(lines)
        yield "".join(head + lines[days[first] : end])


def sums():
    """Calls of every function, and the sums of manuals."""
    page = read(ROOT / "grammar/FUNCTIONS.md")
    yield from re.findall(r"(?m)^\s*gudgeon reckon '([^']+)'", page)
    for path in sorted((ROOT / "src/trade").glob("*.rs")):
        yield from re.findall(r'call: "((?:[^"\\]|\\.)*)"', read(path).replace('\\"', "'").replace("\\\n", ""))
    for text in [manual for manual, _ in pairs()]:
        yield from re.findall(r"(?m)^calc\b[^=\n]*=\s*([^#\n]+)", text)
    yield from ["a - b", "smallest(c) - largest(c)", "a * b / d", "sqrt(abs(a * a - b * b))", "round(a, 0.05 mm)", "(a + b) / 2 in in", "1 / 0", "pi * a * a / 4 in cm3"]


METHODS = (
    "hover completion definition references documentHighlight prepareRename rename documentSymbol codeAction codeLens documentLink foldingRange "
    "selectionRange inlayHint formatting rangeFormatting onTypeFormatting semanticTokens/full semanticTokens/full/delta semanticTokens/range diagnostic "
    "didChange didSave didClose didOpen willSaveWaitUntil"
).split()
OTHERS = (
    "workspace/symbol workspace/executeCommand workspace/didChangeConfiguration workspace/didChangeWatchedFiles completionItem/resolve "
    "codeAction/resolve workspace/diagnostic $/cancelRequest gudgeon/nonsense"
).split()


def scripts(log):
    """Every question at some lines of a log, with edits between."""
    methods = [f"textDocument/{name}" for name in METHODS] + OTHERS
    count = max(1, log.count("\n"))
    for start in range(0, len(methods), 9):
        lines = []
        for at, method in enumerate(methods[start : start + 9]):
            line = (at * 7 + start) % count
            lines.append(f"{'manual' if at % 4 == 3 else 'log'} {method} {line} {at * 3} {line + 1} 0 web width")
            lines.append(f"log textDocument/didChange {line} 0 {line} {at} {'1.2' if at % 2 else 'note x'}")
        yield "\n".join(lines) + "\n"
    yield "log workspace/executeCommand 0 0 0 0 gudgeon.next\nlog workspace/executeCommand 0 0 0 0 gudgeon.start\nlog workspace/executeCommand 0 0 0 0 gudgeon.text\n"


def framed(*messages):
    bodies = [json.dumps({"jsonrpc": "2.0", **message}) for message in messages]
    return "".join(f"Content-Length: {len(body)}\r\n\r\n{body}" for body in bodies)


class Seeds:
    """Writes seeds, each once, under the digest of what is in it."""

    def __init__(self):
        self.folder = HERE / "seeds"
        shutil.rmtree(self.folder, ignore_errors=True)

    def put(self, target, text):
        data = text.encode()
        if len(data) > 4 * LONGEST:
            return
        folder = self.folder / target
        folder.mkdir(parents=True, exist_ok=True)
        (folder / hashlib.sha1(data).hexdigest()).write_bytes(data)


def main():
    with open(HERE / "words.dict", "w", encoding="ascii") as out:
        out.writelines(quoted(word) for word in words())
    seeds = Seeds()
    every = list(dict.fromkeys((manual, piece) for manual, log in pairs() for piece in pieces(log)))
    for at, (manual, log) in enumerate(every):
        seeds.put("parse", log)
        seeds.put("parse", manual)
        named = re.sub(r"(?mi)^manual .*$", "manual m", log, count=1)
        whole = manual + BETWEEN + named
        for target in ("judge", "tidy", "fixes", "report"):
            seeds.put(target, whole)
        middle, end = len(log.encode()) // 2, len(log.encode())
        seeds.put("edits", f"{log}{BETWEEN}{middle} 1 7\n{middle} 1 \n{end // 3} 0 \\n\n{end // 4} 12 web width = 52.03 mm\\n\n0 0 é\n")
        if at % 6 == 0:
            for script in scripts(named):
                seeds.put("rpc", named + BETWEEN + manual + BETWEEN + script)
    plain = [manual for manual, _ in every if manual]
    log = "job x\nmanual a\n2026-03-14 build\nweb width = 52.03 mm\ndid press together, force 6 t on press\n"
    for first, second, third in zip(plain[::3], plain[1::3], plain[2::3]):
        for extends in (["b", "c", "a"], ["b", "c", "pressed crank"], ["b\nextends c", "d", "nowhere"], ["a", "a", "b"]):
            texts = [f"extends {name}\n".join(["", text]) for name, text in zip(extends, (first, second, third))]
            seeds.put("manuals", BETWEEN.join(texts + [log]))
    every_sum = list(dict.fromkeys(sums()))
    for at in range(0, len(every_sum), 3):
        seeds.put("reckon", "\n".join(every_sum[at : at + 3]) + "\n")
    begin = {"id": 1, "method": "initialize", "params": {"processId": None, "rootUri": None, "capabilities": {}}}
    ends = [{"id": 2, "method": "shutdown"}, {"method": "exit"}]
    document = {"uri": "file:///nowhere/x.rebuild", "languageId": "rebuild", "version": 1, "text": log}
    opened = {"method": "textDocument/didOpen", "params": {"textDocument": document}}
    asked = {"id": 3, "method": "textDocument/hover", "params": {"textDocument": {"uri": document["uri"]}, "position": {"line": 3, "character": 4}}}
    seeds.put("rpc", framed(begin, *ends))
    seeds.put("rpc", framed(begin, {"method": "initialized", "params": {}}, opened, asked, *ends))
    seeds.put("rpc", framed(begin, opened))
    seeds.put("rpc", "Content-Type: application/vscode-jsonrpc; charset=utf-8\r\ncontent-length: 2\r\n\r\n{}")
    for folder in sorted((ROOT / "tests/regress").glob("*")):
        for case in folder.iterdir():
            seeds.put(folder.name, read(case))
    for folder in sorted(seeds.folder.iterdir()):
        print(f"{folder.name}: {len(list(folder.iterdir()))} seeds")


if __name__ == "__main__":
    main()
