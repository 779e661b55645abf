#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# SPDX-FileCopyrightText: groundwright contributors
"""Designs a job file with the shared library, by ctypes: design.py JOB [LIBRARY]

    from design import design
    result, answer, problems = design(open("house.json", "rb").read())
"""
import ctypes
import ctypes.util
import json
import sys

DONE, NO_LOOP, BAD_INPUT, FAILED = range(4)


class Problem(ctypes.Structure):
    _fields_ = [("path", ctypes.c_char_p), ("text", ctypes.c_char_p), ("line", ctypes.c_int), ("column", ctypes.c_int),
                ("warning", ctypes.c_int)]


def load(path=None):
    library = ctypes.CDLL(path or ctypes.util.find_library("groundwright") or "libgroundwright.so.0")
    for name, result, arguments in (
            ("version", ctypes.c_char_p, []),
            ("open", ctypes.c_void_p, [ctypes.c_char_p, ctypes.c_size_t]),
            ("close", None, [ctypes.c_void_p]),
            ("problem_count", ctypes.c_size_t, [ctypes.c_void_p]),
            ("problem_at", Problem, [ctypes.c_void_p, ctypes.c_size_t]),
            ("weather_name", ctypes.c_char_p, [ctypes.c_void_p]),
            ("prices_name", ctypes.c_char_p, [ctypes.c_void_p]),
            ("give_weather", ctypes.c_int, [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_size_t]),
            ("give_prices", ctypes.c_int, [ctypes.c_void_p, ctypes.c_char_p, ctypes.c_size_t]),
            ("run", ctypes.c_int, [ctypes.c_void_p]),
            ("json", ctypes.c_char_p, [ctypes.c_void_p]),
            ("text", ctypes.c_char_p, [ctypes.c_void_p, ctypes.c_int])):
        function = getattr(library, "groundwright_" + name)
        function.restype, function.argtypes = result, arguments
    return library


def design(job, library=None, read=lambda name: open(name, "rb").read()):
    """job: bytes. Gives (result, the design as a dict or None, [(path, text, line, column, is_warning)])."""
    lib = library or load()
    work = lib.groundwright_open(job, len(job))
    if not work:
        raise MemoryError("groundwright")
    try:
        for name, give in ((lib.groundwright_weather_name(work), lib.groundwright_give_weather),
                           (lib.groundwright_prices_name(work), lib.groundwright_give_prices)):
            if name is not None:
                text = read(name.decode())
                give(work, text, len(text))
        result = lib.groundwright_run(work)
        text = lib.groundwright_json(work)
        found = [lib.groundwright_problem_at(work, i) for i in range(lib.groundwright_problem_count(work))]
        problems = [(p.path.decode(), p.text.decode(errors="replace"), p.line, p.column, bool(p.warning)) for p in found]
        return result, json.loads(text) if text else None, problems
    finally:
        lib.groundwright_close(work)


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit("usage: design.py JOB [LIBRARY]")
    with open(sys.argv[1], "rb") as file:
        outcome, answer, notes = design(file.read(), load(sys.argv[2] if len(sys.argv) == 3 else None))
    for path, text, line, column, warning in notes:
        print(f"{sys.argv[1]}:{line}:{column}: {'unusual: ' if warning else ''}{path}: {text}", file=sys.stderr)
    if answer is not None:
        for loop in answer["loops"]:
            print(f"{loop['name']}: {'stands' if loop['stands'] else 'does not stand'}")
    sys.exit(outcome)
