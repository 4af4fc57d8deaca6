"""README and the pages of the guide as lines with fenced blocks."""

import pathlib
import re

root = pathlib.Path(__file__).resolve().parent.parent.parent
guide = root / "examples/guide"


def pages():
    return [root / "README.md", *sorted(guide.glob("*.md"))]


def name_of(page):
    return str(page.relative_to(root))


def commands_of(text):
    """The commands of a block, one a line unless the line ends with a backslash."""
    return [c for c in re.split(r"(?<!\\)\n", text) if c.strip() and not c.startswith("#")]


class Blocks:
    """A page as lines, with its fenced blocks: (language, words behind it, first line, one past the last)."""

    def __init__(self, page):
        self.page = page
        self.lines = page.read_text(encoding="utf-8").split("\n")
        self.fences, start = [], None
        for number, line in enumerate(self.lines):
            if not line.startswith("```"):
                continue
            if start is None:
                start = number
            else:
                language, *words = self.lines[start][3:].split() or [""]
                self.fences.append((language, words, start + 1, number))
                start = None

    def commands(self):
        """(line number, command) of sh blocks, less those that are shown to fail."""
        runs = [(begin, words) for language, words, begin, _ in self.fences if language in ("sh", "text")]
        failing = {before[0] for before, after in zip(runs, runs[1:]) if after[1] == ["error"]}
        return [(begin + 1, command.replace("\\\n", " ")) for language, _, begin, end in self.fences
                if language == "sh" and begin not in failing for command in commands_of("\n".join(self.lines[begin:end]))]

    def prose(self):
        """(line number, line) outside fenced blocks, from 1."""
        inside = {k for _, _, begin, end in self.fences for k in range(begin - 1, end + 1)}
        return [(k + 1, line) for k, line in enumerate(self.lines) if k not in inside]
