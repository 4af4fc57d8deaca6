"""Broken variants of texts and bytes: every function takes a random.Random and bytes and gives bytes back."""
import re

EDGES = ["0", "-0.0", "-1", "1e308", "-1e308", "1.8e308", "5e-324", "1e-320", "1e400", "inf", "-inf", "nan", "1e-300",
         "99999999999999999999", "9007199254740993", "0x10", "1_000", "1e", "--1", "+-1", "1,5", "1e-7", "1e7"]
UNITS = ["nm", "um", "µm", "mm", "cm", "m", "GPa", "MPa", "Pa", "mbar", "Hz", "MHz", "K", "degC", "s", "min", "h", "W",
         "mW", "%", "deg", "kg/m^3", "g/cm^3", "", "furlong", "Um", "gpa"]
NUMBER = re.compile(rb"(?<![\w.])[-+]?\d+\.?\d*(?:e[-+]?\d+)?")


def flip_bytes(r, b):
    out = bytearray(b)
    for _ in range(r.randint(1, 8)):
        if out:
            out[r.randrange(len(out))] = r.randrange(256)
    return bytes(out)


def cut(r, b):
    return b[: r.randrange(len(b) + 1)]


def drop_piece(r, b):
    a = r.randrange(len(b) + 1)
    return b[:a] + b[a + r.randint(1, 40):]


def double_piece(r, b):
    a = r.randrange(len(b) + 1)
    e = a + r.randint(1, 200)
    return b[:e] + b[a:e] + b[e:]


def lines_of(b):
    return b.split(b"\n")


def drop_line(r, b):
    lines = lines_of(b)
    del lines[r.randrange(len(lines))]
    return b"\n".join(lines)


def double_line(r, b):
    lines = lines_of(b)
    k = r.randrange(len(lines))
    lines.insert(r.randrange(len(lines)), lines[k])
    return b"\n".join(lines)


def swap_lines(r, b):
    lines = lines_of(b)
    i, k = r.randrange(len(lines)), r.randrange(len(lines))
    lines[i], lines[k] = lines[k], lines[i]
    return b"\n".join(lines)


def replace_match(r, pattern, b, make):
    found = list(re.finditer(pattern, b))
    if not found:
        return flip_bytes(r, b)
    m = r.choice(found)
    return b[: m.start()] + make(m.group(0)) + b[m.end():]


def edge_number(r, b):
    return replace_match(r, NUMBER, b, lambda _: r.choice(EDGES).encode())


def scaled_number(r, b):
    return replace_match(r, NUMBER, b, lambda m: b"%.6g" % (float(m) * 10.0 ** r.randint(-9, 9)))


def near_number(r, b):
    return replace_match(r, NUMBER, b, lambda m: b"%.6g" % (float(m) * r.uniform(-0.5, 3.0)))


def other_unit(r, b):
    return replace_match(r, rb"(?<=\d )[^\s\"'+\]]+(?=\")", b, lambda _: r.choice(UNITS).encode())


def renamed_key(r, b):
    def misspell(m):
        k = r.randrange(len(m))
        return r.choice([m[:k] + m[k + 1:], m[:k] + m[k:k + 1] * 2 + m[k + 1:], m.upper(), m + b"s", b'"' + m + b' "',
                         m + b".x", b"\xc2\xb5" + m])
    return replace_match(r, rb"(?m)^[a-z_]+(?=\s*=)", b, misspell)


def other_section(r, b):
    names = [b"film", b"outline", b"holes", b"release", b"chip", b"limits", b"free", b"solve", b"target", b"cavity", b"process"]
    return replace_match(r, rb"(?m)^\[[a-z]+\]", b, lambda _: b"[" + r.choice(names) + b"]")


def other_type(r, b):
    values = [b"true", b"[]", b"{}", b"1", b"1.5", b"\"\"", b"[[1, 2], 3]", b"1979-05-27", b"{a = 1}", b"'''\nx\n'''", b"[\"1 um\"]"]
    return replace_match(r, rb"(?m)(?<== )[^\n#]+", b, lambda _: r.choice(values))


def encoding(r, b):
    text = b.decode("utf-8", "replace")
    return r.choice([lambda: text.encode("utf-16"), lambda: text.encode("utf-16-be"), lambda: text.encode("latin-1", "replace"),
                     lambda: b"\xef\xbb\xbf" + b, lambda: b.replace(b"\n", b"\r\n"), lambda: b.replace(b"\n", b"\r"),
                     lambda: b.replace(b" ", b"\x00"), lambda: b.replace(b" ", "\u00a0".encode()),
                     lambda: b.replace(b'"', "\u201d".encode()), lambda: text.encode("utf-32")])()


def deep(r, b):
    n = r.choice([10, 31, 33, 1000, 100000])
    nest = r.choice([b"x = " + b"[" * n + b"]" * n, b"x = " + b"{a=" * n + b"1" + b"}" * n, b"[" + b"a." * n + b"a]",
                     b"a." * n + b"a = 1", b"x = " + b"[\n" * n, b"[[a]]\n" * n])
    return r.choice([nest + b"\n" + b, b + b"\n" + nest + b"\n"])


def huge(r, b):
    n = r.choice([1000, 20001, 60000, 200000])
    pairs = b",\n".join(b'["%d.%d nm", "%d nm"]' % (r.randint(-9999, 9999), k % 10, r.randint(-9999, 9999)) for k in range(n))
    block = r.choice([
        b"\n[holes]\nlattice = \"list\"\ndiameter = \"100 nm\"\ncentres = [" + pairs + b"]\n",
        b"\n[outline]\nshape = \"polygon\"\nvertices = [" + pairs + b"]\n",
        b"\n[holes]\nlattice = \"square\"\ndiameter = \"1 um\"\npitch = \"3 um\"\nomit = [" + b",\n".join([b"[1,2]"] * n) + b"]\n",
        b"\ntitle = \"" + b"x" * n * 10 + b"\"\n", b"\n# " + b"y" * n * 10 + b"\n", b"\n" * n * 10,
        b"\n".join(b"k%d = 1" % k for k in range(n)) + b"\n"])
    name = re.match(rb"\n\[([a-z]+)\]", block)
    if name:  # in the place of the section of that name
        b = re.sub(rb"(?ms)^\[" + name.group(1) + rb"\].*?(?=^\[|\Z)", b"", b)
        return b + block
    return block + b


def wrong_separator(r, b):
    a, c = r.sample([b",", b";", b"\t", b" ", b"."], 2)
    return b.replace(a, c)


def junk(r, _):
    return r.choice([b"", b"\n", b"\x00" * 100, bytes(r.randrange(256) for _ in range(r.randint(1, 3000))), b"\x7fELF" + b"\x00" * 500])


ANY = [flip_bytes, flip_bytes, cut, drop_piece, double_piece, edge_number, scaled_number, near_number, encoding, junk]
DESIGN = ANY + [drop_line, double_line, swap_lines, edge_number, edge_number, scaled_number, near_number, near_number, other_unit,
                other_unit, renamed_key, renamed_key, other_section, other_type, other_type, deep, huge]
TABLE = ANY + [drop_line, double_line, swap_lines, edge_number, near_number, wrong_separator]
BYTES = [flip_bytes, flip_bytes, flip_bytes, cut, drop_piece, double_piece, junk]


def break_it(r, kinds, b):
    for _ in range(r.choice([1, 1, 1, 2, 3])):
        b = r.choice(kinds)(r, b)
    return b
