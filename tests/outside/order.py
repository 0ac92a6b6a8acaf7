"""The order of steps judged again by others: linear temporal logic over finite traces, by `flloat`.

    python3 tests/outside/order.py PATH_OF_GUDGEON

Thousands of random procedures and logs are made with a fixed seed and judged by one run of the program; what its JSON says of each clause is held
against the formula that the language reference gives for it. The formulas are evaluated by flloat's automata and not by code of this project: a
closed log keeps a formula or breaks it, an open one breaks it only if no way to go on reaches an accepting state.

A second set has readings among the steps: `until`, `given` and stale readings, by formulas over steps and readings in and out of limit.
"""

import json
import random
import subprocess
import sys
import tempfile
from pathlib import Path

from flloat.parser.ltlf import LTLfParser

SEED = 1877
JOBS = 3000
READING_JOBS = 1500
STEPS = ["press pin", "fit rod", "close case", "true crank", "oil seal"]
PARTS = ["cylinder 1", "cylinder 2"]

# What the reference says each clause means: `s` is the step, `b` any of the others.
AFTER = "(((!s) U b) | (G(!s)))"
FORMULAS = {
    "step": "F(s)",
    "step-if-did": "(F(c)) -> (F(s))",
    "step-if-not-did": "(!(F(c))) -> (F(s))",
    "only-if": "(F(s)) -> (F(c & (X(F(s)))))",
    "once": "!(F(s & X(F(s))))",
    "after": AFTER,
    "after-optional": f"(F(b)) -> {AFTER}",
    "after-if-did": f"((F(b)) | (F(c))) -> {AFTER}",
    "after-if-not-did": f"((F(b)) | (!(F(c)))) -> {AFTER}",
    # On an empty log, which the logic does not know, nothing was done before it was to be.
    "directly-after": "(!(F(s))) | ((!s) & (G((X(s)) -> b)))",
    "then": "G(s -> (X(F(b))))",
    "then-directly": "G(s -> (X(b)))",
    "not-with": "!((F(s)) & (F(b)))",
    "one-of-2": "((F(p)) | (F(q))) & (!((F(p)) & (F(q))))",
    "one-of-3": "((F(p)) | (F(q)) | (F(r))) & (!((F(p)) & (F(q)))) & (!((F(p)) & (F(r)))) & (!((F(q)) & (F(r))))",
    "never-before": AFTER,
    "never-after": "G(b -> (!(X(F(s)))))",
    # Over readings: `i` in limit, `o` out of it; `d` the step that disturbs and is repeated; `t` the step that waits for it.
    "until": "((!t) U (d & (X(F(t))))) -> ((!t) U (i & (X(((!d) & (!o) & (!t)) U t))))",
    "given": "(F(t)) -> (F(i & (X(((!d) & (!o)) U (t & (!(X(F(t)))))))))",
    "fresh": "!(F((i | o) & (!(X(F(i | o)))) & (X(F(d)))))",
}
ATOMS = {
    "step": "s", "step-if-did": "sc", "step-if-not-did": "sc", "only-if": "sc", "once": "s", "after-if-did": "sbc", "after-if-not-did": "sbc",
    "one-of-2": "pq", "one-of-3": "pqr", "until": "diot", "given": "diot", "fresh": "dio",
}


class Closed:
    """A formula that is only asked of whole logs: evaluated on each by flloat itself."""

    def __init__(self, name):
        self.atoms = ATOMS[name]
        self.formula = LTLfParser()(FORMULAS[name])

    def state(self, word):
        return "kept" if self.formula.truth([{a: a == symbol for a in self.atoms} for symbol in word], 0) else "broken"


class Formula:
    """A formula as a table: what state each symbol leads to, which states accept, and from which an accepting one can be reached."""

    def __init__(self, name):
        self.atoms = ATOMS.get(name, "sb")
        automaton = LTLfParser()(FORMULAS[name]).to_automaton()
        # At each time one step is done, or one that the formula does not speak of. A step that is two of the names at once is not made here.
        self.symbols = {a: {x: x == a for x in self.atoms} for a in self.atoms}
        self.symbols[""] = {x: False for x in self.atoms}
        self.start = automaton.initial_state
        self.accepting = set(automaton.accepting_states)
        self.table = {
            (state, symbol): automaton.get_successor(state, values)
            for state in automaton.states
            for symbol, values in self.symbols.items()
        }
        hopeful = set(self.accepting)
        grown = True
        while grown:
            more = {s for (s, _), to in self.table.items() if to in hopeful} - hopeful
            grown = bool(more)
            hopeful |= more
        self.hopeful = hopeful

    def state(self, word, closed):
        at = self.start
        for symbol in word:
            at = self.table[at, symbol]
        if at in self.accepting:
            return "kept"
        return "open" if at in self.hopeful and not closed else "broken"


WEIGHT = ["kept", "open", "broken"]


def sliced(trace, left, right):
    """The trace by parts, where both sides name one in common; else the whole trace."""
    names = [{part for step, part in trace if part and step in side} for side in (left, right)]
    if not names[0] & names[1]:
        return [[step for step, _ in trace]]
    return [[step for step, part in trace if part in (None, name)] for name in sorted(names[0] | names[1])]


class Job:
    """A random procedure and a random log of it."""

    def __init__(self, rng, number):
        self.name = f"order-{number}"
        count = rng.randint(2, len(STEPS))
        self.steps = STEPS[:count]
        self.clauses = {step: [] for step in self.steps}
        self.optional = {step: rng.random() < 0.3 for step in self.steps}
        self.condition = {}
        self.choice = []
        if rng.random() < 0.3 and count > 2:
            self.choice = rng.sample(self.steps, rng.randint(2, min(3, count - 1)))
        for at, step in enumerate(self.steps):
            others = [s for s in self.steps if s != step]
            for kind in ("once", "after", "directly-after", "then", "then-directly", "not-with"):
                if rng.random() > 0.25:
                    continue
                if kind == "once":
                    self.clauses[step].append((kind, []))
                    continue
                # Circles are faults of the manual.
                from_ = self.steps[:at] if kind in ("after", "directly-after") else others
                if from_:
                    size = 1 if kind in ("after", "not-with", "then") else rng.randint(1, min(2, len(from_)))
                    self.clauses[step].append((kind, rng.sample(from_, size)))
            if not self.optional[step] and step not in self.choice and rng.random() < 0.3:
                self.condition[step] = (rng.choice(["if did", "if not did", "only if did"]), rng.choice(others))
        self.nevers = []
        if rng.random() < 0.3:
            self.nevers.append((rng.choice(["before", "after"]), *rng.sample(self.steps, 2)))
        self.trace = []
        self.undone = []
        self.lines = []
        # `only if` is asked of the last time on each part; the formula knows no parts.
        by_part = rng.random() < 0.3 and not any(words == "only if did" for words, _ in self.condition.values())
        for _ in range(rng.randint(0, 9)):
            step = rng.choice([*self.steps, "look it over"])
            part = rng.choice([*PARTS, None]) if by_part else None
            self.lines.append(f"did {step}" + (f", on {part}" if part else ""))
            self.trace.append((step, part))
            # What is undone was not done; the last of its name is meant.
            if not self.nevers and rng.random() < 0.08:
                self.lines.append(f"undid {step}, because it stood crooked")
                self.trace.pop()
        self.trace = [(step, part) for step, part in self.trace if step in self.steps]
        self.closed = rng.random() < 0.5

    def manual(self):
        lines = [f"manual {self.name}", "procedure work"]
        if self.choice:
            lines.append("  one of " + ", ".join(self.choice))
        for step in self.steps:
            lines.append(f"  step {step}" + ("  optional" if self.optional[step] else ""))
            for kind, others in self.clauses[step]:
                words = kind.replace("-", " ")
                lines.append(f"    {words} {', '.join(others)}".rstrip())
            if step in self.condition:
                words, other = self.condition[step]
                lines.append(f"    {words} {other}")
        for when, step, other in self.nevers:
            lines.append(f"  never {step} {when} {other} because it hurts")
        return "\n".join(lines) + "\n"

    def log(self):
        lines = [f"job {self.name}", f"manual {self.name}", "procedure work", "2026-03-14 build", *self.lines]
        if self.closed:
            lines.append("closed 2026-03-14")
        return "\n".join(lines) + "\n"

    def word(self, trace, **names):
        """A trace in the names of a formula."""
        return [next((a for a, steps in names.items() if step in steps), "") for step in trace]

    def expected(self, formulas):
        """What each clause comes to; those of steps that were not done may be left unsaid, and are kept."""
        told = {}

        def tell(key, formula, **names):
            first, *rest = [steps for name, steps in names.items() if name != "c"]
            rest = [step for steps in rest for step in steps]
            # A condition is asked of the whole log.
            traces = [[s for s, _ in self.trace]] if not rest and formula != "once" else sliced(self.trace, first, rest or first)
            # What looks at the last time is asked of the log as it stands.
            closed = self.closed or formula == "only-if"
            states = [formulas[formula].state(self.word(t, **names), closed) for t in traces]
            told[key] = max(states, key=WEIGHT.index)

        if self.choice:
            names = dict(zip("pqr", ([step] for step in self.choice)))
            tell(("one-of", self.choice[0], tuple(self.choice[1:])), f"one-of-{len(self.choice)}", **names)
        for step in self.steps:
            if not self.optional[step] and step not in self.choice:
                if step in self.condition:
                    words, other = self.condition[step]
                    formula = "step-if-not-did" if words == "if not did" else "step-if-did"
                    tell(("step", step, ()), formula, s=[step], c=[other])
                    if words == "only if did":
                        tell(("only-if", step, ()), "only-if", s=[step], c=[other])
                else:
                    tell(("step", step, ()), "step", s=[step])
            for kind, others in self.clauses[step]:
                if kind == "once":
                    tell((kind, step, ()), kind, s=[step])
                elif kind == "after":
                    self.tell_after(tell, told, step, others[0], formulas)
                elif kind == "then" and others[0] in self.choice:
                    tell((kind, step, tuple(self.choice)), kind, s=[step], b=self.choice)
                else:
                    tell((kind, step, tuple(others)), kind, s=[step], b=others)
        return told

    def tell_after(self, tell, told, step, other, formulas):
        if other in self.choice:
            others = [s for s in self.choice if s != step]
            tell(("after", step, tuple(others)), "after", s=[step], b=others)
        elif self.optional[other]:
            tell(("after", step, (other,)), "after-optional", s=[step], b=[other])
        elif other in self.condition:
            # The condition is asked of the whole log, the order of each part.
            words, third = self.condition[other]
            holds = any(s == third for s, _ in self.trace) != (words == "if not did")
            tell(("after", step, (other,)), "after" if holds else "after-optional", s=[step], b=[other])
        else:
            tell(("after", step, (other,)), "after", s=[step], b=[other])


class ReadingJob:
    """A log with readings: a step that disturbs a feature and is repeated until it is in limit, one that waits for it, one that it is given for."""

    MANUAL = (
        "manual {name}\nsource bench\nfeature run-out\n  build up to 0.03 mm\nprocedure work\n  step tap crank  optional; disturbs run-out; until run-out\n"
        "  step close case  optional; after tap crank\n  step fit engine  optional; given run-out\n"
    )
    LINES = {
        "d": "did tap crank",
        "t": "did close case",
        "g": "did fit engine",
        "i": "run-out = 0.010 ± 0.001 mm",
        "o": "run-out = 0.060 ± 0.001 mm",
    }

    def __init__(self, rng, number):
        self.name = f"readings-{number}"
        self.word = [rng.choice("dddttgiiio") for _ in range(rng.randint(1, 9))]

    def manual(self):
        return self.MANUAL.format(name=self.name)

    def log(self):
        return "\n".join([f"job {self.name}", f"manual {self.name}", "2026-03-14 build", *(self.LINES[c] for c in self.word)]) + "\n"

    def expected(self, formulas):
        waits = [c if c in "diot" else "" for c in self.word]
        given = ["t" if c == "g" else c if c in "dio" else "" for c in self.word]
        fresh = [c if c in "dio" else "" for c in self.word]
        return {
            "until": formulas["until"].state(waits),
            "given": formulas["given"].state(given),
            "fresh": formulas["fresh"].state(fresh),
        }

    @staticmethod
    def said(file):
        order = {asked["clause"]: asked["state"] for asked in file.get("order", [])}
        stale = any(finding["code"] == "reading.stale" for finding in file["findings"])
        return {"until": order.get("until", "kept"), "given": order.get("given", "kept"), "fresh": "broken" if stale else "kept"}


def nevers_differ(job, file, formulas):
    """The dangers of order: said at all where their formula is broken, and only there."""
    differ = []
    for when, step, other in job.nevers:
        traces = sliced(job.trace, [step], [other])
        names = {"s": [step], "b": [other]}
        broken = any(formulas[f"never-{when}"].state(job.word(t, **names), True) == "broken" for t in traces)
        told = any(f["code"] == "danger.sequence" for f in file["findings"])
        if told != broken:
            differ.append((when, step, other, broken))
    return differ


def main():
    gudgeon = Path(sys.argv[1]).resolve()
    formulas = {name: (Closed if name in ("until", "given", "fresh") else Formula)(name) for name in FORMULAS}
    rng = random.Random(SEED)
    jobs = [Job(rng, number) for number in range(JOBS)]
    reading_jobs = [ReadingJob(rng, number) for number in range(READING_JOBS)]
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        (folder / ".git").mkdir()
        (folder / "manuals").mkdir()
        (folder / "logs").mkdir()
        for job in [*jobs, *reading_jobs]:
            (folder / "manuals" / f"{job.name}.manual").write_text(job.manual(), encoding="utf-8")
            (folder / "logs" / f"{job.name}.rebuild").write_text(job.log(), encoding="utf-8")
        run = subprocess.run([gudgeon, "inspect", "--as", "json", folder / "logs"], capture_output=True, check=False)
        files = {Path(file["path"]).stem: file for file in json.loads(run.stdout)["files"]}

    clauses, seen, wrong = 0, {}, []
    for job in jobs:
        file = files[job.name]
        said = {(a["clause"], a["step"], tuple(a["others"])): a["state"] for a in file.get("order", [])}
        expected = job.expected(formulas)
        for key, state in expected.items():
            clauses += 1
            seen[key[0], state] = seen.get((key[0], state), 0) + 1
            if said.pop(key, "kept") != state:
                wrong.append((job, key, state, file))
        wrong += [(job, key, "not asked for", file) for key in said]
        wrong += [(job, never, "danger", file) for never in nevers_differ(job, file, formulas)]
    for job in reading_jobs:
        file = files[job.name]
        said = ReadingJob.said(file)
        for key, state in job.expected(formulas).items():
            clauses += 1
            seen[key, state] = seen.get((key, state), 0) + 1
            if said[key] != state:
                wrong.append((job, key, state, file))

    for job, key, state, file in wrong[:3]:
        print(f"{key}: flloat says {state}\n{job.manual()}\n{job.log()}{json.dumps(file.get('order', []))}\n", file=sys.stderr)
    if wrong:
        sys.exit(f"{len(wrong)} of {clauses} clauses differ")
    # Nothing is proved by verdicts that never occur.
    for clause in ("step", "one-of", "then", "then-directly"):
        for state in WEIGHT:
            assert seen.get((clause, state), 0) >= 20, (clause, state, seen)
    for clause in ("after", "directly-after", "not-with", "once", "until", "given", "fresh"):
        for state in ("kept", "broken"):
            assert seen.get((clause, state), 0) >= 20, (clause, state, seen)
    print(f"order: {clauses} clauses of {len(jobs) + len(reading_jobs)} jobs agree with flloat")


main()
