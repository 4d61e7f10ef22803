#!/usr/bin/env python3
"""Draws many jobs and puts all their sheets before the proof, many sheets in one call.

    proof_more.py --tool STACKFALL --proof PROOF.mjs [--papers arch-d,a3] [--keep DIR] JOB.toml...

Every job is drawn on every paper named (none: the paper it chooses itself). Tells the defects by
kind and the jobs that have most; --keep leaves the sheets of jobs with a defect in a folder.
--known
names jobs whose defects are known: they do not count, but one that has become clean does.
exit 0: no defect that is not known; 1: one, or a job that could not be drawn; 2: the proof could not measure.
"""
import argparse
import collections
import concurrent.futures
import json
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

AT_ONCE = 2         # browsers, and drawings, at a time
SHEETS = 60         # sheets that one browser is given
WORST = 12          # jobs named
DRAWN_IN = 300      # seconds that a job may take


def draw(tool, job, paper, into):
    """Draws a job; what is wrong before the proof, and its result."""
    command = [tool, "draw", str(job), "--out", str(into), "--only", "svg", "--format", "json"]
    if paper:
        command += ["--sheet", paper]
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=DRAWN_IN)
    except subprocess.TimeoutExpired:
        return [("not drawn in time", "")], None
    # 1: the job has findings, which its sheets show; more: it could not be drawn.
    if done.returncode not in (0, 1) or not done.stdout.strip():
        told = (done.stderr or done.stdout).strip().splitlines()
        return [("not drawn", told[0] if told else f"exit {done.returncode}")], None
    result = json.loads(done.stdout)
    said = [f for f in result.get("findings", []) if f.get("code", "").startswith("P10")]
    return [(f"finding {f['code']}", f.get("message", "")) for f in said if f["code"] == "P102"], result


def shown(result, sheets):
    """Pipes and fixtures of the job that are on no sheet, as the proof's --result would say."""
    ids, named = set(), set()
    for sheet in sheets:
        text = sheet.read_text(encoding="utf-8")
        ids.update(re.findall(r'\bid="([^"]*)"', text))
        named.update(re.findall(r'\bdata-for="([^"]*)"', text))
    for pipe in result["pipes"]:
        if pipe["id"] not in ids:
            yield "pipe of the job on no sheet", pipe["id"]
    for fixture in result["fixtures"]:
        if fixture["id"] not in ids | named:
            yield "fixture of the job on no sheet", fixture["id"]


def prove(proof, sheets):
    """The proof's report of some sheets, by file."""
    done = subprocess.run(["node", str(proof), "--json", *map(str, sheets)], capture_output=True, text=True)
    if done.returncode not in (0, 1):
        sys.stderr.write(done.stderr)
        raise SystemExit(2)
    return json.loads(done.stdout)


def main():
    ask = argparse.ArgumentParser()
    ask.add_argument("--tool", required=True)
    ask.add_argument("--proof", required=True)
    ask.add_argument("--papers", default="")
    ask.add_argument("--keep", type=Path)
    ask.add_argument("--report", type=Path, help="all defects as JSON")
    ask.add_argument("--known", type=Path, help="names of jobs that are known to have defects, a line each")
    ask.add_argument("jobs", nargs="+", type=Path)
    told = ask.parse_args()
    start = time.time()
    work = Path(tempfile.mkdtemp(prefix="proof-more-"))
    papers = [p for p in told.papers.split(",") if p] or [None]
    by_kind = collections.defaultdict(list)     # kind: (job, words)
    by_job = collections.Counter()
    drawn = sheets_seen = 0

    def name(job, paper):
        # Sets of one name would be one set to the proof: match marks are counted by set.
        own = job.parent.name if job.stem == "job" else job.stem
        return f"{own}@{paper}" if paper else own

    def note(job, kind, words, count=1):
        by_kind[kind].append((job, words, count))
        by_job[job] += count

    # Paper by paper: the proof tells sets apart by the job's name, and one call holds each once.
    asked = [(job, paper) for paper in papers for job in told.jobs]
    known = set()
    if told.known:
        lines = told.known.read_text(encoding="utf-8").splitlines()
        known = {line.split()[0] for line in lines if line.strip() and not line.startswith("#")}
    try:
        with concurrent.futures.ThreadPoolExecutor(AT_ONCE) as pool:
            # Batch by batch, so that the sheets of a thousand jobs need not lie on the disk at once.
            per = 40
            parts = [asked[p + at:p + min(at + per, len(told.jobs))]
                     for p in range(0, len(asked), len(told.jobs)) for at in range(0, len(told.jobs), per)]
            for part in parts:
                sets = {}
                jobs = [(job, paper, name(job, paper)) for job, paper in part]
                done = pool.map(lambda a: draw(told.tool, a[0], a[1], work / a[2]), jobs)
                for (job, paper, own), (wrong, result) in zip(jobs, done):
                    for kind, words in wrong:
                        note(own, kind, words)
                    if result is None:
                        continue
                    drawn += 1
                    sets[own] = sorted((work / own).glob("*.svg"))
                    for kind, words in shown(result, sets[own]):
                        note(own, kind, words)
                # The sheets of a set stay together.
                calls, call = [], []
                for own, sheets in sets.items():
                    if call and len(call) + len(sheets) > SHEETS:
                        calls.append(call)
                        call = []
                    call = call + sheets
                calls += [call] if call else []
                for report in pool.map(lambda c: prove(told.proof, c), calls):
                    for sheet in report:
                        if sheet["file"] == "all sheets together":
                            for kind, d in sheet["defects"].items():
                                for words in d["first"]:
                                    note("several sheets", kind, words)
                            continue
                        sheets_seen += 1
                        own = Path(sheet["file"]).parent.name
                        for kind, d in sheet["defects"].items():
                            number = Path(sheet["file"]).stem.split("-")[-1]
                            note(own, kind, f"{number}: {d['first'][0] if d['first'] else ''}", d["count"])
                for own in sets:
                    if told.keep and by_job[own]:
                        shutil.copytree(work / own, told.keep / own, dirs_exist_ok=True)
                    shutil.rmtree(work / own, ignore_errors=True)
    finally:
        shutil.rmtree(work, ignore_errors=True)

    took = time.time() - start
    defects = sum(by_job.values())
    with_any = sum(1 for n in by_job.values() if n)
    print(f"{drawn} of {len(asked)} drawn, {sheets_seen} sheets, {defects} defects in {with_any} jobs, {took:.0f} s")
    for kind, all_of in sorted(by_kind.items(), key=lambda k: -sum(a[2] for a in k[1])):
        jobs = {a[0] for a in all_of}
        job, words, _ = all_of[0]
        print(f"  {sum(a[2] for a in all_of)} × {kind}, in {len(jobs)} jobs, such as {job}: {words}")
    for job, count in by_job.most_common(WORST):
        print(f"  {job}: {count}")
    if told.report:
        told.report.write_text(json.dumps(by_kind, indent=1, ensure_ascii=False))
    seen = {name(job, paper) for job, paper in asked}
    new = sorted(own for own, count in by_job.items() if count and own not in known)
    clean = sorted(own for own in known & seen if not by_job[own])
    if known:
        print(f"  known to have defects: {', '.join(sorted(known & seen)) or 'none of these'}")
    for own in clean:
        print(f"  {own} is clean: take it out of {told.known}")
    for own in new:
        print(f"  NOT KNOWN: {own}")
    return 1 if new or clean else 0


if __name__ == "__main__":
    sys.exit(main())
