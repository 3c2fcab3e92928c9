"""How functions of numbers become machine code, quickly.

The engine is some three hundred functions.  Three things keep its first compilation short.
A function that compiled code calls is only translated; machine code is made once, for the
whole of what Python calls: else each function would be optimised again within each of its
callers, and theirs.  A constant is passed on like any number, so that no function is compiled
for each constant it is called with.  And as soon as types are known the rest is shared with
a second process, where the system can copy one.
"""

import gc
import itertools
import os
import pickle
import sys
import threading
import warnings
from types import BuiltinFunctionType
from typing import Any, ClassVar

import llvmlite.binding as llvm  # type: ignore[import-untyped]
from llvmlite import ir
from numba import _dynfunc, extending, types
from numba.core import (
    bytecode,
    codegen,
    compiler,
    compiler_machinery,
    funcdesc,
    lowering,
    registry,
    targetconfig,
    typed_passes,
    typing,
)
from numba.core.datamodel import models
from numba.core.runtime.nrt import rtsys


class _Part(codegen.JITCodeLibrary):  # type: ignore[misc]
    """A function whose types are known; it is translated later and never alone machine code."""

    _linking_libraries: list[Any]
    parts: ClassVar[list[Any]] = []

    def __init__(self, state: Any) -> None:
        super().__init__(state.targetctx.codegen(), state.func_id.func_qualname)
        self.state = state
        self.number = len(self.parts)
        self.parts.append(self)

    def translate(self) -> None:
        """Fill the module."""
        with targetconfig.ConfigStack().enter(self.state.flags):
            typed_passes.NativeLowering().run_pass(self.state)
        self.state = None

    def packed(self) -> tuple[bytes, list[int]]:
        """Return the translation, and which parts it calls."""
        called = set(self._linking_libraries) - {rtsys.library}
        for library in called:
            if not isinstance(library, _Part):
                self._final_module.link_in(library._get_module_for_linking(), preserve=True)
        return self._final_module.as_bitcode(), [each.number for each in called if isinstance(each, _Part)]

    def unpack(self, module: bytes, called: list[int]) -> None:
        """Take a translation that another process made."""
        self.state = None
        self._final_module = llvm.parse_bitcode(module)
        self._linking_libraries = [rtsys.library, *(self.parts[number] for number in called)]

    def _optimize_functions(self, ll_module: Any) -> None:
        """Make it smaller; the whole is optimised in earnest."""
        ll_module.data_layout = self._codegen._data_layout
        passes, builder = self._codegen._function_pass_manager()
        for function in ll_module.functions:
            if not function.is_declaration:
                passes.run(function, builder)

    def _ensure_finalized(self) -> None:
        """Let others link it before it is translated."""

    def get_pointer_to_function(self, name: str) -> int:  # noqa: ARG002 - it has no machine code
        return 0


_WORTH_A_SPLIT = 12
"""Parts that are worth a copy of the process."""


class _Translators:
    """Translates parts, with a second process beside this one where it can split one off.

    Types are found by one process, as each function needs to know those it calls.  Their
    translations do not need each other: a copy of this process has all that it takes.
    """

    def __init__(self) -> None:
        self.waiting: list[_Part] = []
        self.away: list[_Part] = []
        self.process = 0
        self.splits = 0
        self.answer = 0
        self.works = sys.platform == "linux"  # elsewhere a copy of a process may stand still

    def add(self, part: _Part) -> None:
        """Have a part translated before `finish` returns."""
        if self._may_split():
            self.waiting.append(part)
            self._hand_out(len(self.waiting))
        else:
            part.translate()

    def finish(self) -> None:
        """Return when all parts are translated."""
        while self.waiting or self.away:
            self._hand_out(len(self.waiting) // 2)
            if self.waiting:
                self.waiting.pop().translate()
            elif self.away:
                self._take_back(0)

    def _may_split(self) -> bool:
        """Tell whether a copy would be whole and have a processor: a copy has one thread."""
        return self.works and threading.active_count() == 1 and len(os.sched_getaffinity(0)) > 1

    def _hand_out(self, count: int) -> None:
        if self.away:
            self._take_back(os.WNOHANG)
        if self.away or count < _WORTH_A_SPLIT or not self._may_split():
            return
        try:
            self.answer = os.memfd_create("translations")
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", DeprecationWarning)  # other threads than ours only compute
                self.process = os.fork()
        except OSError:
            self.works = False
            return
        self.splits += 1
        self.away, self.waiting = self.waiting[:count], self.waiting[count:]
        if self.process == 0:
            self._work()

    def _work(self) -> None:
        """Translate in the copy of this process, and end it."""
        code = 1
        try:
            gc.disable()
            # names that the copy gives must not be given by this process or by a later copy
            bytecode.FunctionIdentity._unique_ids = itertools.count(self.splits * 1_000_000)
            for part in self.away:
                part.translate()
            with os.fdopen(self.answer, "wb") as file:
                pickle.dump([part.packed() for part in self.away], file)
            code = 0
        finally:
            os._exit(code)

    def _take_back(self, options: int) -> None:
        try:
            process, status = os.waitpid(self.process, options)
        except ChildProcessError:  # somebody else waited for it
            process, status = self.process, 1
        if process == 0:
            return
        with os.fdopen(self.answer, "rb") as file:
            if status == 0:
                file.seek(0)
                for part, packed in zip(self.away, pickle.load(file), strict=True):
                    part.unpack(*packed)
            else:
                self.works = False
                self.waiting += self.away
        self.away = []


_translators = _Translators()


class _Whole(codegen.JITCodeLibrary):  # type: ignore[misc]
    """A function that Python calls, with all parts that it calls, and they call."""

    _linking_libraries: list[Any]

    def finalize(self) -> None:
        _translators.finish()
        functions = self._final_module.functions
        own = {function.name for function in functions if not function.is_declaration}
        called: dict[Any, None] = {}
        ahead: list[Any] = list(self._linking_libraries)
        while ahead:
            library = ahead.pop()
            if library in called:
                continue
            called[library] = None
            if isinstance(library, _Part):
                self._final_module.link_in(library._final_module, preserve=True)
                ahead += library._linking_libraries
        for function in self._final_module.functions:
            if not function.is_declaration and function.name not in own:
                function.linkage = "linkonce_odr"
        self._linking_libraries = [library for library in called if not isinstance(library, _Part)]
        super().finalize()

    def serialize_using_object_code(self) -> Any:
        """Keep the machine code; nothing links it, so of its source only the names are kept."""
        self._ensure_finalized()
        names = ir.Module()
        for function in self._final_module.functions:
            if not function.is_declaration and function.linkage == llvm.Linkage.external:
                empty = ir.Function(names, ir.FunctionType(ir.VoidType(), ()), function.name)
                ir.IRBuilder(empty.append_basic_block()).ret_void()
        return (
            self.name,
            "object",
            (self._get_compiled_object(), llvm.parse_assembly(str(names)).as_bitcode()),
        )


@compiler_machinery.register_pass(mutates_CFG=True, analysis_only=False)
class _TranslatePart(typed_passes.NativeLowering):  # type: ignore[misc]
    """Translate a part, and let other functions call it, without making machine code."""

    _name = "translate_part"

    def run_pass(self, state: Any) -> bool:
        state.flags.no_compile = True
        library = state.library = _Part(state)
        described = funcdesc.PythonFunctionDescriptor.from_specialized_function(
            state.func_ir,
            state.typemap,
            state.return_type,
            state.calltypes,
            mangler=state.targetctx.mangler,
            inline=state.flags.forceinline,
            noalias=state.flags.noalias,
            abi_tags=[state.flags.get_mangle_string()],
        )
        environment = lowering.Environment.from_fndesc(described)
        name = described.qualname.split(".")[-1]
        entry = _dynfunc.make_function(described.lookup_module(), name, "", 0, environment, (library,))
        state.targetctx.insert_user_function(entry, described, [library])
        _translators.add(library)
        state["cr"] = compiler._LowerResult(described, None, cfunc=entry, env=environment)
        return True


@compiler_machinery.register_pass(mutates_CFG=True, analysis_only=False)
class _TranslateWhole(typed_passes.NativeLowering):  # type: ignore[misc]
    """Translate what Python calls, with its parts."""

    _name = "translate_whole"

    def run_pass(self, state: Any) -> bool:
        state.library = _Whole(state.targetctx.codegen(), state.func_id.func_qualname)
        state.library.enable_object_caching()
        return bool(super().run_pass(state))


class _Operator(types.Function):  # type: ignore[misc]
    """A built-in function that remembers what it gives for the types it was asked about."""

    def __init__(self, templates: Any) -> None:
        super().__init__(templates)
        self.known: dict[Any, Any] = {}

    def get_call_type(self, context: Any, args: Any, kws: Any) -> Any:
        if kws or not all(isinstance(each, _PLAIN) for each in args):
            return super().get_call_type(context, args, kws)
        question = tuple(args)
        if question not in self.known:
            self.known[question] = super().get_call_type(context, args, kws)
        return self.known[question]


extending.register_model(_Operator)(models.OpaqueModel)
_PLAIN = (types.Number, types.Boolean, types.CPointer, types.Array)


class _Types(typing.Context):  # type: ignore[misc]
    """What the compiler knows of types, with built-in functions that remember.

    Constants are passed to other functions as any number is: a function would else be
    compiled anew for each of them.
    """

    operators: ClassVar[dict[Any, _Operator]] = {}

    def __init__(self, known: Any) -> None:
        self.__dict__ = known.__dict__

    def _lookup_global(self, gv: Any) -> Any:
        found = super()._lookup_global(gv)
        if type(found) is not types.Function:
            return found
        if found not in self.operators:
            self.operators[found] = _Operator(found.templates)
        return self.operators[found]

    def resolve_value_type(self, val: Any) -> Any:
        if isinstance(val, BuiltinFunctionType):
            return self._lookup_global(val) or super().resolve_value_type(val)
        return super().resolve_value_type(val)

    def resolve_function_type(self, func: Any, args: Any, kws: Any) -> Any:
        if isinstance(func, types.Dispatcher):
            args = tuple(types.unliteral(each) for each in args)
        return super().resolve_function_type(func, args, kws)


_TYPES = _Types(registry.cpu_target.typing_context)

_NOT_NEEDED = frozenset(
    (
        "AnnotateTypes",
        "DumpParforDiagnostics",
        "FindLiterallyCalls",
        "InlineClosureLikes",
        "InlineInlinables",
        "LiteralPropagationSubPipelinePass",
        "LiteralUnroll",
        "MakeFunctionToJitFunction",
        "NopythonRewrites",
        "RewriteDynamicRaises",
        "WithLifting",
    )
)
"""Passes for closures, array expressions, loops over tuples and the like, of which no law makes use."""


def _pipeline(last: Any) -> Any:
    """Return the compiler's way through the passes that laws and kernel need."""

    class Pipeline(compiler.CompilerBase):  # type: ignore[misc]
        def __init__(self, *described: Any) -> None:
            super().__init__(*described)
            self.state.typingctx = self.state.targetctx.typing_context = _TYPES

        def _compile_core(self) -> Any:
            often = gc.get_threshold()
            if often[0]:  # the compiler makes much that lives long and little garbage
                gc.set_threshold(max(often[0], 20_000), *often[1:])
            try:
                return super()._compile_core()
            finally:
                gc.set_threshold(*often)

        def define_pipelines(self) -> list[Any]:
            passes = compiler.DefaultPassBuilder.define_nopython_pipeline(self.state)
            passes.passes = [
                (last if each is typed_passes.NativeLowering else each, text)
                for each, text in passes.passes
                if each.__name__ not in _NOT_NEEDED
            ]
            passes._finalized = False
            passes.finalize()
            return [passes]

    return Pipeline


PART, WHOLE = _pipeline(_TranslatePart), _pipeline(_TranslateWhole)
