"""leafhunger: does a spring dose of slow organic feed last until August, how far apart should top-ups be, and why?

    import leafhunger as lh

    garden = lh.load("saltmarsh-lane.json")
    run = garden.season()
    print(run)                               # the same words as the command
    run.verdict["Bananas"].lasts_until       # a date
    run.series["Bananas"]["nni"]             # a NumPy array, one value a day
    lh.plot_supply(run, "Bananas")           # matplotlib Axes

Masses are nitrogen. Names end in their unit: `_kg_n_ha`, `_g`, `_mm`, `_c`, `_frac` (0 to 1), `_d` (days).
"""
from ._engine import version as __version__
from ._calibrate import Calibration, calibrate, plot_fit
from ._curves import Curves, curves
from ._ensemble import Stopped, Study, StudyRow, ensemble
from ._garden import Garden, load
from ._incubation import Incubation, equivalent_temperature, read_incubation
from ._jar import Material, MoistureResponse, Responses, TemperatureResponse, from_label, incubate, materials, moisture_response, responses, temperature_response
from ._plugins import Model, Parameter, PluginList, plugins
from ._register import Day, Flow, Pool, Response, Rows, register, unregister
from ._run import Carried, Caution, Column, ColumnSeries, DrainageMonth, Ledger, Reason, Run, SecondFeed, Source, Verdict
from ._sensitivity import Figure, Sensitivity, sensitivity
from ._sobol import Sobol, Span, sobol
from ._sureness import Band, Enough, PlantingSureness, Sureness, Today
from ._topups import GardenTopUps, PlantingTopUps, Searched, TopUpPoint, TopUps
from ._trace import Trace
from ._years import Lasts, PlantingYears, YearVerdict
from .errors import Error, InputError, LedgerError, PluginError, SolverError
from .plots import plot_curves, plot_release, plot_soil, plot_supply, plot_where_it_went

__all__ = [
    "Band", "Calibration", "Carried", "Caution", "Column", "ColumnSeries", "Curves", "Day", "DrainageMonth", "Enough", "Error", "Figure",
    "Flow", "Garden", "GardenTopUps", "Incubation", "InputError", "Lasts", "Ledger", "LedgerError", "Material", "Model", "MoistureResponse", "Parameter",
    "PlantingSureness", "PlantingTopUps", "PlantingYears", "PluginError", "PluginList", "Pool", "Reason", "Response", "Responses", "Rows",
    "Run", "Searched", "SecondFeed", "Sensitivity", "Sobol", "SolverError", "Source", "Span", "Stopped", "Study", "StudyRow", "Sureness",
    "TemperatureResponse", "Today", "TopUpPoint", "TopUps", "Trace", "Verdict", "YearVerdict", "__version__", "calibrate", "curves", "ensemble",
    "equivalent_temperature", "from_label", "incubate", "load", "materials", "moisture_response", "plot_curves", "plot_fit", "plot_release",
    "plot_soil", "plot_supply", "plot_where_it_went", "plugins", "read_incubation", "register", "responses", "sensitivity", "sobol",
    "temperature_response", "unregister",
]
