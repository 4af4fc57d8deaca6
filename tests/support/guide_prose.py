"""What the prose of a page names: links, commands, options, keys, figures and C++ names that there are not."""

import functools
import json
import pathlib
import re
import shlex
import subprocess

from guide_pages import Blocks, guide, name_of, root

longest = {"README.md": 150}  # lines; of the guide's pages 250
suffixes = {".toml", ".csv", ".svg", ".gds", ".html", ".json", ".md"}


def said(program, *words):
    return subprocess.run([program, *words], capture_output=True, text=True, check=True).stdout


def options_of(completion):
    """Options of each command, from the completion for bash."""
    return {command: set(options.split()) for command, options in re.findall(r'^ +(\w+)\) list="([^"]*)" ;;', completion, re.M)}


class Known:
    """Commands with their options, keys of design and wafer files, and names of figures."""

    def __init__(self, program):
        self.options = options_of(said(program, "describe", "bash"))
        self.every_option = set().union(*self.options.values()) | {"--help", "--version"}
        self.keys = set(re.findall(r"^\| `([A-Za-z_.]+)` \|", said(program, "describe", "keys"), re.M))
        self.sections = {key.rpartition(".")[0] for key in self.keys}
        self.sections |= {"device", "array", "marks"}  # of chip files
        self.add_wafer_keys(said(program, "film", "--keys"))
        self.words = {key.rpartition(".")[2] for key in self.keys} | self.sections
        for file in sorted((root / "examples/schema").glob("*.json")):
            self.words |= set(names_in(json.loads(file.read_text(encoding="utf-8"))))
        self.pages = {page.stem for page in guide.glob("*.md")}

    def add_wafer_keys(self, text):
        section = ""
        for line in text.split("\n"):
            if heading := re.match(r"\[+(\w+)\]", line):
                section = heading.group(1)
                self.sections.add(section)
            elif len(line) - len(line.lstrip()) == 2:
                names = re.split(r" {2,}", line.strip())[0]  # what follows is unit and meaning
                self.keys |= {f"{section}.{name}" for name in re.findall(r"\b[a-z_]+\b", names)}

    def command_faults(self, text):
        """Of "tymbal COMMAND ..." in prose or in a block."""
        words = shlex.split(text, comments=True)
        command = words[1] if len(words) > 1 else "--help"
        if command in ("COMMAND", "describe"):
            return
        if not command.startswith("-") and command not in self.options:
            yield f"'{command}' is not a command"
            return
        options = self.options.get(command, self.every_option) | {"--help"}
        for word in words[1:]:
            if word.startswith("--") and word not in options:
                yield f"'{word}' is not an option of `tymbal {command}`"
        shown = {"help": set(self.options) | {"COMMAND"}, "guide": self.pages | {"PAGE"}}.get(command)
        if shown and len(words) > 2 and words[2].strip("[]") not in shown:
            yield f"'{words[2]}' is nothing that `tymbal {command}` shows"

    def code_faults(self, text):
        """Of one piece of text in backticks."""
        if text.startswith("tymbal "):
            yield from self.command_faults(text)
        elif option := re.match(r"--[a-z][a-z-]*", text):
            if option.group() not in self.every_option:
                yield f"'{option.group()}' is an option of no command"
        elif section := re.fullmatch(r"\[+([a-z_.]+)\]+", text):
            if section.group(1) not in self.sections:
                yield f"'{text}' is a section of no file"
        elif re.fullmatch(r"[a-z_]+(\.[a-z_]+)+", text):
            if text.split(".")[0] in self.sections and text not in self.keys and not pathlib.Path(text).suffix in suffixes:
                yield f"'{text}' is not a key of a design or wafer file"
        elif assigned := re.match(r"([a-z_]+\.[a-z_]+) = ", text):
            if assigned.group(1) not in self.keys:
                yield f"'{assigned.group(1)}' is not a key of a design or wafer file"
        elif re.fullmatch(r"[a-z][a-z0-9]*(_[a-z0-9]+)+", text) and text not in self.words:
            yield f"'{text}' is neither a key nor a figure of a schema"


def names_in(schema):
    """Names of all properties, and of columns that a pattern gives: '^frequency_hz_[0-9]+$' is frequency_hz_k."""
    if isinstance(schema, dict):
        yield from schema.get("properties", {})
        yield from (re.sub(r"\[0-9\]\+?", "k", p.strip("^$")) for p in schema.get("patternProperties", {}))
        schema = schema.values()
    for part in schema if not isinstance(schema, (str, int, float, bool, type(None))) else ():
        yield from names_in(part)


@functools.lru_cache(maxsize=None)
def anchors(page):
    """Headings as links name them."""
    headings = [line.lstrip("#").strip() for _, line in Blocks(page).prose() if re.match(r"#+ ", line)]
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def link_faults(page, line):
    for target in re.findall(r"\]\(([^)]+)\)", line):
        if re.match(r"https?:", target):
            continue
        file, _, anchor = target.partition("#")
        there = (page.parent / file).resolve() if file else page
        if not there.exists():
            yield f"the link to {target} leads nowhere"
        elif anchor and anchor not in anchors(there):
            yield f"{there.name} has no heading '{anchor}'"


def library_faults(text):
    """On the page of the library: C++ names are in the public headers or in the user's project that it shows."""
    for word in re.findall(r"[A-Za-z_]{4,}", text):
        if not re.search(rf"\b{word}\b", headers()):
            yield f"'{word}' is in no public header"


@functools.lru_cache(maxsize=None)
def headers():
    files = [*sorted((root / "include").rglob("*.h")), *sorted((root / "tests/consumer").iterdir())]
    return "\n".join(name_of(f) + "\n" + f.read_text(encoding="utf-8") for f in files)


def file_faults(page):
    """Files and links that a page names; NAME and * stand for many."""
    for number, line in Blocks(page).prose():
        for file in re.findall(r"`((?:src|tests|include|examples|materials)/[^` ]*)", line):
            if not re.search(r"NAME|\*", file) and not (root / file).exists():
                yield f"{name_of(page)}:{number}: there is no {file}"
        for fault in link_faults(page, line):
            yield f"{name_of(page)}:{number}: {fault}"


def prose_faults(page, known):
    blocks = Blocks(page)
    most = longest.get(name_of(page), 250)
    if len(blocks.lines) - 1 > most:
        yield f"{name_of(page)}: {len(blocks.lines) - 1} lines; at most {most}"
    pieces = [(number, text) for number, line in blocks.prose() for text in re.findall(r"`([^`]+)`", line)]
    pieces += blocks.commands()
    for number, text in pieces:
        of_library = page.name == "library.md" and not text.startswith("tymbal ")
        for fault in library_faults(text) if of_library else known.code_faults(text):
            yield f"{name_of(page)}:{number}: {fault}"
    yield from file_faults(page)
