"""The timed column by SciPy's LSODA on the oracle, which has the equations in NumPy: seconds a season, and its error against 1e-12.

Says one JSON object. PYTHONPATH must hold the leafhunger module and tests/python."""
import json
import pathlib
import time

import numpy as np

import leafhunger as lh
from oracle import column_oracle

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parents[1]
SCENARIO, CATALOGUE = HERE / "one-column.json", ROOT / "plugins" / "catalogue"
SEASON, TOLERANCE = 2018, 1e-7

garden = lh.load(SCENARIO, catalogue=CATALOGUE)
trace = garden.trace("Bananas", SEASON, stepper="reference", absolute_kg_ha=1e-12, relative=1e-12)
column = column_oracle.read_column(SCENARIO, CATALOGUE, "Bananas", SEASON)
oracle = column_oracle.ColumnOracle(column, trace.forcings, trace.w_reference_t_ha)
begin = time.perf_counter()
states, _ = oracle.run(rtol=TOLERANCE, atol=TOLERANCE)
seconds = time.perf_counter() - begin
tight, _ = oracle.run(rtol=1e-12, atol=1e-13)
worst = 0.0
ours, right = oracle.reported(states), oracle.reported(tight)
for name, values in right.items():
    values = np.asarray(values)
    worst = max(worst, float(np.abs(np.asarray(ours[name]) - values).max() / max(np.ptp(values), 0.01)))
print(json.dumps({"us_per_member": seconds * 1e6, "error": worst}))
