"""Lighthouse on the running demo: four scores a page, installed on demand in one exact version, run offline."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.browser.chromium import ARGUMENTS, chromium_path
from tests.browser.demo import ROOT

VERSION = "12.8.2"
FOLDER = ROOT / ".cache" / "lighthouse"
CATEGORIES = ("performance", "accessibility", "best-practices", "seo")
INSTALL_WITHIN_S = 240
RUN_WITHIN_S = 180
TRIES = 4


@dataclass
class Scores:
    """Scores of 0 to 100 by page and form factor, as ``CATEGORIES`` stand; ``missing`` says why there are none."""

    of_page: dict[str, list[int]] = field(default_factory=dict)
    missing: str = ""

    def in_words(self) -> str:
        """Return the scores as a line of figures."""
        if self.missing:
            return f"Lighthouse not run: {self.missing}"
        pages = ", ".join(f"{page} {'/'.join(map(str, scores))}" for page, scores in self.of_page.items())
        return f"Lighthouse {VERSION} ({'/'.join(CATEGORIES)}): {pages}"


def scores(base_url: str, cookie: str) -> Scores:
    """Measure the sign-in page, and today's page of the person whose cookie is given, as a phone and as a desktop."""
    try:
        command = _installed()
        found = Scores()
        for name, path, headers in (("sign-in", "/sign-in", {}), ("today", "/today", {"Cookie": cookie})):
            for form in ("mobile", "desktop"):
                found.of_page[f"{name} {form}"] = _measured(command, base_url + path, form, headers)
    except (OSError, subprocess.SubprocessError, KeyError, ValueError) as error:
        output = getattr(error, "stderr", None) or str(error)
        return Scores(missing=" ".join(str(output).split())[-300:])
    return found


def _installed() -> Path:
    """Return Lighthouse's command, installing it first where it is not there yet."""
    package = FOLDER / "node_modules" / "lighthouse"
    manifest = package / "package.json"
    if not manifest.is_file() or json.loads(manifest.read_text())["version"] != VERSION:
        FOLDER.mkdir(parents=True, exist_ok=True)
        flags = ("--no-audit", "--no-fund", "--ignore-scripts", "--loglevel=error")
        subprocess.run(
            ["npm", "install", "--prefix", str(FOLDER), *flags, f"lighthouse@{VERSION}"],
            check=True,
            capture_output=True,
            text=True,
            timeout=INSTALL_WITHIN_S,
        )
    return package / "cli" / "index.js"


def _measured(command: Path, url: str, form: str, headers: dict[str, str]) -> list[int]:
    """Run Lighthouse, again where its own trace went wrong and it asks for that: a score is never asked for twice."""
    for _ in range(TRIES - 1):
        try:
            return _measure(command, url, form, headers)
        except (subprocess.CalledProcessError, ValueError) as error:
            print(f"Lighthouse runs again: {' '.join(str(error).split())[-120:]}", file=sys.stderr)
    return _measure(command, url, form, headers)


def _measure(command: Path, url: str, form: str, headers: dict[str, str]) -> list[int]:
    """Run Lighthouse once; headers are passed in a file, so that no cookie stands in the list of processes."""
    with tempfile.TemporaryDirectory(prefix="plugward-lighthouse-") as folder:
        report, extra = Path(folder) / "report.json", Path(folder) / "headers.json"
        extra.write_text(json.dumps(headers))
        flags = " ".join(("--headless=new", *ARGUMENTS))
        arguments = [url, "--quiet", "--output=json", f"--output-path={report}", f"--chrome-flags={flags}"]
        arguments += [f"--only-categories={','.join(CATEGORIES)}", "--no-enable-error-reporting"]
        arguments += ["--preset=desktop"] if form == "desktop" else []
        arguments += [f"--extra-headers={extra}"] if headers else []
        environment = {**os.environ, "CHROME_PATH": str(chromium_path())}
        subprocess.run(
            ["node", str(command), *arguments],
            check=True,
            capture_output=True,
            text=True,
            timeout=RUN_WITHIN_S,
            env=environment,
        )
        read: dict[str, Any] = json.loads(report.read_text())
    if read.get("runtimeError"):
        raise ValueError(f"Lighthouse on {url}: {read['runtimeError']['message']}")
    return [round(100 * read["categories"][name]["score"]) for name in CATEGORIES]
