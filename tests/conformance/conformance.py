"""Every check over every package named; the last line counts. Exit 1 where anything failed."""

import concurrent.futures
import contextlib
import io
import os
import sys
import tempfile
import time
import traceback
from pathlib import Path

import assembly
import layout_places
import liner_solids
import notch_cut
import pdf_document
import pdf_places
import pdf_rulers
import pdf_tiles
import phases
import plate_solids
import print_test
import rail_sections
import rail_solids
import random_plates
import random_solids
import step_properties
import step_solids
import survey_adjust
import svg_places
import svg_render
import web_page
import wrapped
from package import REPOSITORY, Package
from tally import Tally

CHECKS = (
    step_solids,
    plate_solids,
    rail_solids,
    wrapped,
    liner_solids,
    step_properties,
    assembly,
    pdf_document,
    pdf_places,
    pdf_rulers,
    pdf_tiles,
    svg_places,
    svg_render,
    layout_places,
    survey_adjust,
    web_page,
)


def package_checks(tally, folder):
    package = Package(folder)
    with tempfile.TemporaryDirectory() as scratch:
        for check in CHECKS:
            print(f"\n{Path(folder).name}: {check.__doc__.splitlines()[0]}")
            start = time.monotonic()
            try:
                check.run(tally, package, Path(scratch))
            except Exception:
                # What a reader cannot take is a failure of the file, and the other checks still run.
                tally.ok(f"{check.__name__} to its end", False, traceback.format_exc())
            print(f"  ({time.monotonic() - start:.1f} s)")


def printed_sample(tally):
    sample = REPOSITORY / "output-samples/print-test.pdf"
    print(f"\n{sample.name}: {print_test.__doc__.splitlines()[0]}")
    with tempfile.TemporaryDirectory() as scratch:
        print_test.run(tally, sample, Path(scratch))


def chains(tally):
    print(f"\n{phases.__doc__.splitlines()[0]}")
    phases.run(tally)
    for check in (rail_sections, notch_cut):
        print(f"\n{check.__doc__.splitlines()[0]}")
        check.run(tally)


def plates(tally):
    print(f"\n{random_plates.__doc__.splitlines()[0]}")
    with tempfile.TemporaryDirectory() as scratch:
        random_plates.run(tally, Path(scratch), REPOSITORY / "target/debug/yokeline")


def solids(tally):
    print(f"\n{random_solids.__doc__.splitlines()[0]}")
    with tempfile.TemporaryDirectory() as scratch:
        random_solids.run(tally, Path(scratch), REPOSITORY / "target/debug/yokeline")


def counted(job, *arguments):
    """A job in a process of its own: what it printed and counted."""
    tally, words = Tally(), io.StringIO()
    start = time.monotonic()
    with contextlib.redirect_stdout(words):
        try:
            job(tally, *arguments)
        except Exception:
            tally.ok(f"{job.__name__} to its end", False, traceback.format_exc())
        print(f"  ({time.monotonic() - start:.1f} s in all)")
    return words.getvalue(), tally.passed, tally.failed


def main(folders):
    # The longest first, so that no core waits at the end.
    jobs = [(chains,), (plates,), (solids,), (printed_sample,)] + [(package_checks, folder) for folder in folders]
    passed, failed = 0, []
    # A process for each core; what they say is told in the order asked for.
    with concurrent.futures.ProcessPoolExecutor(max_workers=os.cpu_count()) as pool:
        for told in [pool.submit(counted, *job) for job in jobs]:
            words, count, lines = told.result()
            print(words, end="", flush=True)
            passed += count
            failed += lines
    for line in failed:
        print(f"FAIL {line}", file=sys.stderr)
    print(f"\n{passed} passed, {len(failed)} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
