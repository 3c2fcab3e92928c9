"""The one door to the compiler.

`compiled` wraps a function that Python may call; `inner` wraps one that only other
compiled functions call.  The same source runs uncompiled, as the oracle, when
``BRINEWRIGHT_UNCOMPILED=1`` is set before the first import.

A function that compiled code calls is only translated; machine code is made once, for the
whole of what Python calls.  Otherwise each function would be optimised again within each of
its callers, and theirs: a cold start would take twice as long and half as much memory again.
"""

import functools
import gc
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from types import BuiltinFunctionType
from typing import Any, ClassVar, TypeVar

F = TypeVar("F", bound=Callable[..., Any])
A = TypeVar("A")

UNCOMPILED = os.environ.get("BRINEWRIGHT_UNCOMPILED") == "1"


def _source_digest() -> str:
    """Digest of every source that ends up in a compiled function.

    The compiler's disk cache does not notice edits in a callee's file, so the cache
    folder itself is named by this digest.
    """
    root = Path(__file__).parent
    sources = [root / "jit.py", *root.glob("laws/*.py"), *root.glob("fluids/*.py")]
    sources += [*root.glob("kernel/*.py"), *root.glob("components/*/law.py")]
    digest = hashlib.sha256()
    for source in sorted(sources):
        digest.update(source.relative_to(root).as_posix().encode())
        digest.update(source.read_bytes())
    return digest.hexdigest()[:16]


def _cache_folder() -> Path:
    base = os.environ.get("XDG_CACHE_HOME")
    return (Path(base) if base else Path.home() / ".cache") / "brinewright" / _source_digest()


if UNCOMPILED:

    def compiled(function: F) -> F:
        """Return the function itself: this process runs the oracle."""
        return function

    inner = compiled

    def pointer(array: A) -> A:
        """Return the array itself."""
        return array
else:
    import llvmlite.binding as llvm  # type: ignore[import-untyped]
    import numba
    from llvmlite import ir
    from numba import _dynfunc, extending, types
    from numba.core import codegen, compiler, compiler_machinery, registry, typed_passes, typing
    from numba.core.datamodel import models
    from numba.np import arrayobj

    if "NUMBA_CACHE_DIR" not in os.environ:
        try:
            folder = _cache_folder()
            folder.mkdir(parents=True, exist_ok=True)
            numba.config.CACHE_DIR = str(folder)
        except OSError:  # a read-only home: compile without a cache
            pass

    class _Part(codegen.JITCodeLibrary):  # type: ignore[misc]
        """A function that is translated but not yet made into machine code."""

        _linking_libraries: list[Any]

        def _optimize_functions(self, ll_module: Any) -> None:
            """Make it smaller; the whole is optimised in earnest."""
            ll_module.data_layout = self._codegen._data_layout
            passes, builder = self._codegen._function_pass_manager()
            for function in ll_module.functions:
                if not function.is_declaration:
                    passes.run(function, builder)

        def finalize(self) -> None:
            self._finalized = True

        def get_pointer_to_function(self, name: str) -> int:  # noqa: ARG002 - it has no machine code
            return 0

    class _Whole(codegen.JITCodeLibrary):  # type: ignore[misc]
        """A function that Python calls, with all parts that it calls, and they call."""

        _linking_libraries: list[Any]

        def finalize(self) -> None:
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
            library = state.library = _Part(state.targetctx.codegen(), state.func_id.func_qualname)
            state.flags.no_compile = True
            super().run_pass(state)
            described, helper, _, environment = state["cr"]
            name = described.qualname.split(".")[-1]
            entry = _dynfunc.make_function(described.lookup_module(), name, "", 0, environment, (library,))
            state.targetctx.insert_user_function(entry, described, [library])
            state["cr"] = compiler._LowerResult(described, helper, cfunc=entry, env=environment)
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

    def _pipeline(lowering: Any) -> Any:
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
                    (lowering if each is typed_passes.NativeLowering else each, text)
                    for each, text in passes.passes
                    if each.__name__ not in _NOT_NEEDED
                ]
                passes._finalized = False
                passes.finalize()
                return [passes]

        return Pipeline

    _PART, _WHOLE = _pipeline(_TranslatePart), _pipeline(_TranslateWhole)

    def inner(function: F) -> F:
        """Compile for callers in compiled code only."""
        wrapped: F = numba.njit(
            error_model="numpy",
            nogil=True,
            no_cpython_wrapper=True,
            no_cfunc_wrapper=True,
            pipeline_class=_PART,
        )(function)
        return wrapped

    class _Compiled:
        """A function with two lives: a whole for Python, a part for compiled code."""

        def __init__(self, function: Any) -> None:
            functools.update_wrapper(self, function)
            self.part = inner(function)
            self.whole = numba.njit(
                cache=True, error_model="numpy", nogil=True, no_cfunc_wrapper=True, pipeline_class=_WHOLE
            )(function)

        def __call__(self, *values: Any, **named: Any) -> Any:
            return self.whole(*values, **named)

    @extending.typeof_impl.register(_Compiled)  # type: ignore[untyped-decorator]
    def _as_part(function: _Compiled, _: Any) -> Any:
        return types.Dispatcher(function.part)

    def compiled(function: F) -> F:
        """Compile for callers in Python and in compiled code; cached on disk."""
        wrapped: Any = _Compiled(function)
        return wrapped  # type: ignore[no-any-return]

    @extending.intrinsic
    def pointer(context, array):  # type: ignore[no-untyped-def]
        """Return where an array's numbers stand, for reading and writing by index from 0 on.

        A pointer is one word where an array is seven, it counts no references and wraps no
        indices: inner functions that take twenty of them cost a third of the time.
        """

        def codegen(target, builder, signature, arguments):  # type: ignore[no-untyped-def]
            return arrayobj.make_array(signature.args[0])(target, builder, arguments[0]).data

        return types.CPointer(array.dtype)(array), codegen


def is_cold() -> bool:
    """Tell whether the next kernel call must compile first."""
    if UNCOMPILED:
        return False
    folder = Path(str(numba.config.CACHE_DIR))
    return not any(folder.rglob("march.*.nbi"))
