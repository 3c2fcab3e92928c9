"""The one door to the compiler.

`compiled` wraps a function that Python may call; `inner` wraps one that only other
compiled functions call.  The same source runs uncompiled, as the oracle, when
``BRINEWRIGHT_UNCOMPILED=1`` is set before the first import.
"""

import functools
import hashlib
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

F = TypeVar("F", bound=Callable[..., Any])
A = TypeVar("A")

UNCOMPILED = os.environ.get("BRINEWRIGHT_UNCOMPILED") == "1"


def _source_digest() -> str:
    """Digest of every source that ends up in a compiled function.

    The compiler's disk cache does not notice edits in a callee's file, so the cache
    folder itself is named by this digest.
    """
    root = Path(__file__).parent
    sources = [root / "jit.py", root / "machine_code.py", *root.glob("laws/*.py")]
    sources += [*root.glob("fluids/*.py"), *root.glob("kernel/*.py")]
    sources += [*root.glob("components/*/law.py")]
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
    import numba
    from numba import extending, types
    from numba.np import arrayobj

    from brinewright.machine_code import PART, WHOLE

    if "NUMBA_CACHE_DIR" not in os.environ:
        try:
            folder = _cache_folder()
            folder.mkdir(parents=True, exist_ok=True)
            numba.config.CACHE_DIR = str(folder)
        except OSError:  # a read-only home: compile without a cache
            pass

    def inner(function: F) -> F:
        """Compile for callers in compiled code only."""
        wrapped: F = numba.njit(
            error_model="numpy",
            nogil=True,
            no_cpython_wrapper=True,
            no_cfunc_wrapper=True,
            pipeline_class=PART,
        )(function)
        return wrapped

    class _Compiled:
        """A function with two lives: a whole for Python, a part for compiled code."""

        def __init__(self, function: Any) -> None:
            functools.update_wrapper(self, function)
            self.part = inner(function)
            self.whole = numba.njit(
                cache=True, error_model="numpy", nogil=True, no_cfunc_wrapper=True, pipeline_class=WHOLE
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
