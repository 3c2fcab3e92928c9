from brinewright.checks import Finding as Finding
from brinewright.checks import Report as Report
from brinewright.checks import check as check
from brinewright.errors import BrinewrightError as BrinewrightError
from brinewright.errors import InputError as InputError
from brinewright.errors import OutputError as OutputError
from brinewright.errors import PropertyRangeError as PropertyRangeError
from brinewright.errors import RunError as RunError
from brinewright.errors import UnknownNameError as UnknownNameError
from brinewright.files import read_brief as read_brief
from brinewright.files import read_loop as read_loop
from brinewright.files import read_rulebook as read_rulebook
from brinewright.files import with_value as with_value
from brinewright.files import write_brief as write_brief
from brinewright.files import write_loop as write_loop
from brinewright.files import write_rulebook as write_rulebook
from brinewright.files.scenario import scenario as scenario
from brinewright.files.scenario import shipped_brief as shipped_brief
from brinewright.fluids import PropertyValue as PropertyValue
from brinewright.fluids import property_value as property_value
from brinewright.model.brief import Brief as Brief
from brinewright.model.loop import Loop as Loop
from brinewright.model.rulebook import Rulebook as Rulebook
from brinewright.plan import AsBuilt as AsBuilt
from brinewright.plan import Comparison as Comparison
from brinewright.plan import Diagnosis as Diagnosis
from brinewright.plan import Drainage as Drainage
from brinewright.plan import Extension as Extension
from brinewright.plan import Fault as Fault
from brinewright.plan import LiquidChange as LiquidChange
from brinewright.plan import Rehearsal as Rehearsal
from brinewright.plan import Sized as Sized
from brinewright.plan import as_built as as_built
from brinewright.plan import change_liquid as change_liquid
from brinewright.plan import compare as compare
from brinewright.plan import credible_faults as credible_faults
from brinewright.plan import diagnose as diagnose
from brinewright.plan import drain as drain
from brinewright.plan import extend as extend
from brinewright.plan import rehearse as rehearse
from brinewright.plan import size as size
from brinewright.report import draw as draw
from brinewright.results import Event as Event
from brinewright.results import Outcome as Outcome
from brinewright.results import Result as Result
from brinewright.results import Series as Series
from brinewright.results import load as load_result
from brinewright.results import save as save_result
from brinewright.run import simulate as run

__version__: str
__all__ = [
    "AsBuilt",
    "Brief",
    "BrinewrightError",
    "Comparison",
    "Diagnosis",
    "Drainage",
    "Event",
    "Extension",
    "Fault",
    "Finding",
    "InputError",
    "LiquidChange",
    "Loop",
    "Outcome",
    "OutputError",
    "PropertyRangeError",
    "PropertyValue",
    "Rehearsal",
    "Report",
    "Result",
    "Rulebook",
    "RunError",
    "Series",
    "Sized",
    "UnknownNameError",
    "__version__",
    "as_built",
    "change_liquid",
    "check",
    "compare",
    "credible_faults",
    "diagnose",
    "drain",
    "draw",
    "extend",
    "load_result",
    "property_value",
    "read_brief",
    "read_loop",
    "read_rulebook",
    "rehearse",
    "run",
    "save_result",
    "scenario",
    "shipped_brief",
    "size",
    "with_value",
    "write_brief",
    "write_loop",
    "write_rulebook",
]
