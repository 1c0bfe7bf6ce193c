"""Checks a hand-over of one batch with nothing but Python's standard library.

    python3 check.py [FOLDER] [PUBLIC-KEY]

FOLDER is where this file lies if none is named. Give the public key as it was
printed on a sheet or kept elsewhere: the one in the folder could have been made
by whoever made the folder. Exit code 0: everything fits; 1: something does not.
"""
import base64
import csv
import datetime
import hashlib
import json
import os
import sys

faults = []


def fault(where, expected, found):
    faults.append(f"{where}: expected {expected}, found {found}")


# --- Ed25519 (RFC 8032, 5.1), as far as a signature is checked ---------------

P = 2**255 - 19
L = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
ROOT_OF_MINUS_ONE = pow(2, (P - 1) // 4, P)


def x_of(y, sign):
    square = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(square, (P + 3) // 8, P)
    if (x * x - square) % P:
        x = x * ROOT_OF_MINUS_ONE % P
    if (x * x - square) % P or (x == 0 and sign):
        raise ValueError("not a point of the curve")
    return P - x if x % 2 != sign else x


def point_of(data):
    y = int.from_bytes(data, "little")
    sign, y = y >> 255, y & (2**255 - 1)
    if y >= P:
        raise ValueError("not a point of the curve")
    x = x_of(y, sign)
    return x, y, 1, x * y % P


def plus(a, b):
    e, f = (a[1] - a[0]) * (b[1] - b[0]) % P, (a[1] + a[0]) * (b[1] + b[0]) % P
    g, h = 2 * a[3] * b[3] * D % P, 2 * a[2] * b[2] % P
    x, y, z, t = f - e, h - g, h + g, f + e
    return x * y % P, z * t % P, y * z % P, x * t % P


def times(n, a):
    total = (0, 1, 1, 0)
    while n:
        if n & 1:
            total = plus(total, a)
        a, n = plus(a, a), n >> 1
    return total


def signed(key, text, signature):
    try:
        base_y = 4 * pow(5, P - 2, P) % P
        base_x = x_of(base_y, 0)
        base = (base_x, base_y, 1, base_x * base_y % P)
        a, r = point_of(key), point_of(signature[:32])
    except ValueError:
        return False
    s = int.from_bytes(signature[32:], "little")
    if s >= L:
        return False
    k = int.from_bytes(hashlib.sha512(signature[:32] + key + text).digest(), "little") % L
    left, right = times(s, base), plus(r, times(k, a))
    same = lambda i: (left[i] * right[2] - right[i] * left[2]) % P == 0
    return same(0) and same(1)


# --- The tree (RFC 6962, 2.1) -------------------------------------------------

def root_of(low, size, leaves, numbers, outside):
    if not numbers and size & (size - 1) == 0:
        return next(outside)
    if size == 1:
        return leaves[low]
    half = 1 << (size - 1).bit_length() - 1
    left = root_of(low, half, leaves, [n for n in numbers if n < low + half], outside)
    right = root_of(low + half, size - half, leaves, [n for n in numbers if n >= low + half], outside)
    return hashlib.sha256(b"\x01" + left + right).digest()


# --- The files ----------------------------------------------------------------

def check_files(folder):
    with open(os.path.join(folder, "SHA256SUMS"), encoding="utf-8") as f:
        for line in f:
            want, name = line.rstrip("\n").split("  ", 1)
            try:
                with open(os.path.join(folder, name), "rb") as g:
                    have = hashlib.sha256(g.read()).hexdigest()
            except OSError:
                have = "no such file"
            if have != want:
                fault(name, want, have)


def read(folder, name):
    with open(os.path.join(folder, name), "rb") as f:
        return f.read()


def check_checkpoint(folder, key_text):
    """Returns size and root of the checkpoint, and the key's name."""
    name, key_id, key64 = key_text.strip().split("+", 2)
    key = base64.b64decode(key64)
    want_id = hashlib.sha256(name.encode() + b"\n" + key).digest()[:4]
    if want_id.hex() != key_id or key[:1] != b"\x01" or len(key) != 33:
        fault("public key", want_id.hex(), key_id)
    text, _, signatures = read(folder, "checkpoint.txt").decode().rpartition("\n\n")
    text += "\n"
    good = False
    for line in signatures.splitlines():
        dash, signer, value = line.split(" ", 2)
        value = base64.b64decode(value)
        if dash == "\u2014" and signer == name and value[:4] == want_id:
            good = signed(key[1:], text.encode(), value[4:])
    if not good:
        fault("checkpoint.txt", "a signature of " + name, "none that holds")
    origin, size, root = text.split("\n")[:3]
    if origin != name:
        fault("checkpoint.txt", "origin " + name, origin)
    return int(size), base64.b64decode(root)


def check_entries(folder, size, root):
    """Returns the entries, decoded."""
    proof = json.loads(read(folder, "proof.json"))
    if proof["size"] != size or bytes.fromhex(proof["root"]) != root:
        fault("proof.json", f"{size} leaves, root {root.hex()}", f"{proof['size']} leaves, root {proof['root']}")
    leaves, entries, last = {}, [], -1
    for number, line in enumerate(read(folder, "entries.jsonl").split(b"\n")[:-1], 1):
        entry = json.loads(line)
        if entry["leaf"] <= last:
            fault(f"entries.jsonl, line {number}", f"a leaf after {last}", entry["leaf"])
        last = entry["leaf"]
        leaves[last] = hashlib.sha256(b"\x00" + line).digest()
        entries.append(entry)
    outside = iter([bytes.fromhex(h) for h in proof["outside"]])
    try:
        found = root_of(0, size, leaves, sorted(leaves), outside)
    except StopIteration:
        found = b""
    if found != root or next(outside, None) is not None:
        fault("entries.jsonl", "root " + root.hex(), "root " + found.hex())
    return entries


def running(values, unit=1):
    """Undoes the differences of a list of the record; faults stay words."""
    total, out = 0, []
    for v in values:
        if isinstance(v, int):
            total += v
            v = total * unit
        out.append(v)
    return out


def readings(entries):
    """Returns what was read at each instant, by milliseconds of the clock."""
    at = {}
    for e in entries:
        if "readings" not in e:
            continue
        count = len(e["seq"])
        ahead = running(e["ahead_ms"])
        columns = [running(e[c], e["step"]) if e[c] else [None] * count for c in ("oil", "bath", "room")]
        columns.append(running(e["pressure"]) if e["pressure"] else [None] * count)
        for i, offset in enumerate(running(e["at_ms"])):
            at[offset + ahead[i], offset] = [c[i] for c in columns]
    return at


def check_trace(folder, entries):
    """Every number of the trace stands in the entries, and none was left out."""
    in_record = {}
    opened = [e for e in entries if e.get("kind") == "batch" and e["body"]["state"] == "opened"]
    closed = [e for e in entries if e.get("kind") == "batch" and e["body"]["state"] == "closed"]
    if len(opened) != 1 or len(closed) != 1:
        fault("entries.jsonl", "one opening and one closing of the batch", f"{len(opened)} and {len(closed)}")
        return 0
    for (wall, offset), values in readings(entries).items():
        if opened[0]["at_ms"] <= offset <= closed[0]["at_ms"]:
            in_record[offset] = values
    start = None
    rows = 0
    with open(os.path.join(folder, "trace.csv"), encoding="utf-8", newline="") as f:
        for row in csv.DictReader(f):
            cells = [row.get(c) or "" for c in ("oil_c", "bath_c", "room_c", "pressure_hpa")]
            if not any(cells) and row.get("event"):
                continue
            time = datetime.datetime.fromisoformat(row["time"].replace("Z", "+00:00"))
            if start is None:
                start, first = time, min(in_record, default=0)
            offset = first + round((time - start) / datetime.timedelta(milliseconds=1))
            values = in_record.pop(offset, None)
            if values is None:
                fault("trace.csv, " + row["time"], "a reading of the record", "none at that instant")
                continue
            rows += 1
            for cell, value, unit in zip(cells, values, (10000, 10000, 10000, 100)):
                want = value if isinstance(value, int) else None
                have = round(float(cell) * unit) if cell else None
                if want != have:
                    fault("trace.csv, " + row["time"], value, cell or "nothing")
    if in_record:
        fault("trace.csv", "every reading of the batch", f"{len(in_record)} left out")
    return rows


def main():
    folder = sys.argv[1] if len(sys.argv) > 1 else os.path.dirname(os.path.abspath(__file__))
    key = sys.argv[2] if len(sys.argv) > 2 else read(folder, "public-key.txt").decode()
    entries, rows = [], 0
    try:
        check_files(folder)
        size, root = check_checkpoint(folder, key)
        entries = check_entries(folder, size, root)
        rows = check_trace(folder, entries)
    except (OSError, ValueError, KeyError, TypeError, IndexError) as err:
        faults.append(f"cannot go on: {err!r}")
    for f in faults:
        print(f)
    if faults:
        print(f"{len(faults)} things do not fit.")
        return 1
    print(f"Everything fits: {len(entries)} leaves, {rows} readings, under a checkpoint of {size} leaves.")
    if len(sys.argv) < 3:
        print("The public key came with the folder. Compare it with one that was kept elsewhere:")
        print(" ", key.strip())
    return 0


if __name__ == "__main__":
    sys.exit(main())
