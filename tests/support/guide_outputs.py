"""What the program prints, draws and tables on a page, made afresh."""

import difflib
import os
import pathlib
import re
import shlex
import subprocess
import tempfile

from guide_pages import Blocks, commands_of, name_of, root

languages = {"sh", "text", "bash", "toml", "csv", "json", "cpp", "cmake", "python"}  # of these only sh is run
made = re.compile(r"<!-- (made by|copied from): ([^>]*?) -->")


def run(program, folder, command):
    words = shlex.split(command.replace("\\\n", " "))
    return subprocess.run([program, *words[1:]], cwd=folder, capture_output=True, text=True, check=False,
                          env={**os.environ, "NO_COLOR": "1"})


def sections(lines):
    """Runs of lines without a blank one, by the capitals that they begin with."""
    found = {}
    for text in "\n".join(lines).split("\n\n"):
        heading = re.match(r"[A-Z][A-Z ,-]*[A-Z]\b", text)
        found[heading.group() if heading else text.split("\n")[0]] = text.split("\n")
    return found


def excerpt(shown, whole, where):
    all_of, lines = sections(whole), []
    for heading in sections(shown):
        if heading not in all_of:
            raise SystemExit(f"{where}: the program prints no section '{heading}'; it has: {', '.join(all_of)}")
        lines += ([""] if lines else []) + all_of[heading]
    return lines


class Refreshed:
    """One page run through the program: what its outputs and pictures should be."""

    def __init__(self, program, page):
        self.program, self.blocks = program, Blocks(page)
        self.changes, self.faults, self.outputs = [], [], 0  # (begin, end, lines)
        with tempfile.TemporaryDirectory() as folder:
            self.folder = pathlib.Path(folder)
            (self.folder / "examples").symlink_to(root / "examples")
            self.outputs_of_fences()
            self.made_parts()
            self.pictures = self.written_pictures()

    def where(self, line):
        return f"{name_of(self.blocks.page)}:{line}"

    def outputs_of_fences(self):
        last = None
        for language, words, begin, end in self.blocks.fences:
            text = self.blocks.lines[begin:end]
            if language not in languages:
                self.faults.append(f"{self.where(begin)}: a block of language '{language}'; known: {', '.join(sorted(languages))}")
            elif language == "sh":
                for command in commands_of("\n".join(text)):
                    if not command.startswith("tymbal "):
                        raise SystemExit(f"{self.where(begin)}: '{command}' is no command of the program; blocks that are not run are bash")
                    last = (command, run(self.program, self.folder, command))
                    self.check_status(begin, *last)
            elif language == "text":
                self.compare(words, begin, end, last)
                last = None

    def check_status(self, line, command, done):
        """A failure is one unless the block after it shows it."""
        after = [w for language, w, begin, _ in self.blocks.fences if begin > line and language in ("sh", "text")][:1]
        if (done.returncode != 0) != (after == [["error"]]):
            self.faults.append(f"{self.where(line)}: {command}\nends with status {done.returncode}: {done.stderr}")

    def compare(self, words, begin, end, last):
        if last is None:
            self.faults.append(f"{self.where(begin)}: an output without a command before it")
            return
        self.outputs += 1
        whole = (last[1].stderr if "error" in words else last[1].stdout).rstrip("\n").split("\n")
        shown = self.blocks.lines[begin:end]
        now = excerpt(shown, whole, self.where(begin)) if "excerpt" in words else whole
        self.change(begin, end, now)

    def made_parts(self):
        lines = self.blocks.lines
        for begin, line in enumerate(lines):
            if part := made.match(line):
                self.outputs += 1
                self.change(begin + 1, lines.index("<!-- end -->", begin), self.part(begin, *part.groups()))

    def part(self, begin, kind, what):
        if kind == "copied from":
            language = "cmake" if what.endswith("CMakeLists.txt") else pathlib.Path(what).suffix[1:]
            return [f"```{language}", *(root / what).read_text(encoding="utf-8").rstrip("\n").split("\n"), "```"]
        done = run(self.program, self.folder, what)
        if done.returncode != 0:
            raise SystemExit(f"{self.where(begin + 1)}: {what}\n{done.stderr}")
        return done.stdout.rstrip("\n").split("\n")

    def change(self, begin, end, now):
        now = [line.rstrip() for line in now]
        if self.blocks.lines[begin:end] != now:
            self.changes.append((begin, end, now))

    def written_pictures(self):
        found = {}
        for number, line in self.blocks.prose():
            for target in re.findall(r"!\[[^\]]*\]\(([^)]+)\)", line):
                written = self.folder / pathlib.Path(target).name
                if not written.exists():
                    self.faults.append(f"{self.where(number)}: no command of the page writes {written.name}")
                    continue
                found[(self.blocks.page.parent / target).resolve()] = written.read_text(encoding="utf-8")
        return found

    def fresh_text(self):
        lines, done = [], 0
        for begin, end, now in sorted(self.changes):
            lines += self.blocks.lines[done:begin] + now
            done = end
        return "\n".join(lines + self.blocks.lines[done:])

    def write(self):
        self.blocks.page.write_text(self.fresh_text(), encoding="utf-8")
        for target, text in self.pictures.items():
            target.parent.mkdir(exist_ok=True)
            target.write_text(text, encoding="utf-8")

    def stale(self):
        """Faults where page or pictures are not what the program makes."""
        found = []
        for begin, end, now in self.changes:
            diff = difflib.unified_diff(self.blocks.lines[begin:end], now, "the page", "the program", lineterm="")
            found.append(f"{self.where(begin + 1)}: not what the program prints\n" + "\n".join(diff))
        for target, text in self.pictures.items():
            if not target.exists() or target.read_text(encoding="utf-8") != text:
                found.append(f"{name_of(target)}: not what the program draws")
        return found
