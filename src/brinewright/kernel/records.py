"""Where the records of a block stand."""

from brinewright.jit import inner
from brinewright.kernel.layout import H_STRIDES


@inner
def first(H, block, k):
    """Return where record `k` of a block starts in I and in P."""
    return (
        H[3 * block + 1] + k * H[H_STRIDES + 2 * block],
        H[3 * block + 2] + k * H[H_STRIDES + 2 * block + 1],
    )
