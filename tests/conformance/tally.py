"""Counts what was measured; a check on a spoiled file counts as passed only if it fails where it should."""

import math


class Tally:
    def __init__(self, quiet=False):
        self.passed, self.failed, self.quiet = 0, [], quiet

    def ok(self, what, good, found=""):
        if good:
            self.passed += 1
        else:
            self.failed.append(f"{what}: {found}")
        if not self.quiet:
            print(f"  {'ok  ' if good else 'FAIL'} {what}{': ' if found else ''}{found}")

    def near(self, what, found, wanted, allowed, unit="mm"):
        """A number within what is allowed; not a number never is."""
        off = found - wanted
        good = math.isfinite(off) and abs(off) <= allowed
        self.ok(what, good, f"{found:.6g} {unit}, off by {off:+.2e}, allowed {allowed:g}")

    def within(self, what, errors, allowed, unit="mm"):
        """The worst of some errors within what is allowed; none at all is a failure."""
        errors = list(errors)
        worst = max(errors, key=lambda e: abs(e) if math.isfinite(e) else math.inf, default=math.inf)
        count = f"worst of {len(errors)}, " if len(errors) != 1 else ""
        self.ok(
            what,
            math.isfinite(worst) and abs(worst) <= allowed,
            f"{count}off by {worst:+.2e} {unit}, allowed {allowed:g}",
        )

    def refuses(self, what, at, check, *arguments):
        """Runs a check on a spoiled file: it must fail, and at the thing that was spoiled."""
        trial = Tally(quiet=True)
        check(trial, *arguments)
        hits = [line for line in trial.failed if at in line]
        self.ok(f"refuses {what}", bool(hits), hits[0] if hits else f"nothing failed at {at!r}: {trial.failed}")
