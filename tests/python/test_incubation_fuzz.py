"""The diary of jars, fuzzed: whatever stands in the file, it is read to finite figures or refused in one sentence. (Readers in C++: tests/fuzz.)"""
import io
import math
import os

import pytest

import leafhunger as lh

hypothesis = pytest.importorskip("hypothesis")
from hypothesis import given, settings, strategies as st  # noqa: E402

DEEP = os.environ.get("LEAFHUNGER_DEEP") == "1"
# The same cases on every run; a long run draws new ones.
TRIALS = settings(max_examples=100_000 if DEEP else 150, deadline=None, derandomize=not DEEP, database=None)

NAMES = ["day", "temperature_c", "mineral_n_percent_of_total", "mineral_n_mg_per_kg", "given_n_mg_per_kg", "control_n_mg_per_kg", "moisture_frac",
         "standard_error", "who", "", "Day ", '"day"']
CELLS = st.one_of(st.sampled_from(["0", "7", "20", "31", "-4", "", " ", "nan", "inf", "-0", "1e308", "1e-320", "3650", "3651", "0x10", "1_0", "٣", '"', '"7', "7;8", "#"]),
                  st.floats().map(repr), st.integers().map(str), st.text(max_size=8))
TABLES = st.builds(lambda heads, rows, mark, end: end.join(mark.join(r) for r in [heads, *rows]),
                   st.lists(st.sampled_from(NAMES), max_size=8), st.lists(st.lists(CELLS, max_size=8), max_size=6), st.sampled_from([",", ",", ",", ";", "\t"]),
                   st.sampled_from(["\n", "\r\n", "\r"]))
GOOD = st.builds(lambda rows, more: "day,temperature_c,mineral_n_percent_of_total\n" + "\n".join(",".join(map(str, r)) for r in rows) + more,
                 st.lists(st.tuples(st.integers(-1, 3651), st.floats(-21, 61), st.floats(-1001, 201)), max_size=5), st.sampled_from(["", "\n", "\n#", "\n\x00", "\n1,2"]))


def tried(read):
    try:
        data = read()
    except lh.InputError as fault:
        said = str(fault)
        assert len(said) < 1500 and said.endswith(".") and fault.found and fault.place
        assert not any(ord(c) < 32 or 127 <= ord(c) < 160 or c in "\u2028\u2029" or 0xD800 <= ord(c) < 0xE000 for c in said), repr(said)
        return
    assert len(data) > 0
    assert all(0 <= d <= 3650 for d in data.day)
    assert all(math.isfinite(t) for t in data.temperature_c) and all(math.isfinite(f) for f in data.freed_frac)


@TRIALS
@given(st.one_of(TABLES, GOOD, st.text(max_size=200)))
def test_any_text(text):
    tried(lambda: lh.read_incubation(io.StringIO(text)))


@TRIALS
@given(st.one_of(st.binary(max_size=200), TABLES.map(lambda t: t.encode("utf-8", "surrogatepass")), TABLES.map(lambda t: t.encode("utf-16"))))
def test_any_bytes(tmp_path_factory, data):
    path = tmp_path_factory.getbasetemp() / "jars.csv"
    path.write_bytes(data)
    tried(lambda: lh.read_incubation(path))


@TRIALS
@given(st.one_of(TABLES, GOOD), st.one_of(st.none(), st.floats()), st.one_of(st.none(), st.lists(st.floats(-30, 70), max_size=4)))
def test_any_arguments(text, given_mg, log):
    tried(lambda: lh.read_incubation(io.StringIO(text), given_n_mg_per_kg=given_mg, log_c=log))
