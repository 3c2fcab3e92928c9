"""What a drain point declares about itself."""

from brinewright.model.kind import Kind, Law, Parameter, Reference

KIND = Kind(
    name="drain point",
    summary="A valve at a low point through which a section is emptied.",
    letters=("DR",),
    laws=(
        Law(
            name="hand valve",
            world="both",
            text="Shut in every run; opened by hand while a section is worked on.",
        ),
    ),
    parameters=(
        Parameter(
            name="bore",
            quantity="length",
            text="Bore through which liquid leaves.",
            default=0.02,
            low=0.001,
            high=1.0,
        ),
        Parameter(
            name="distance",
            quantity="length",
            text="Where it stands on its line, from the line's start.",
            default=0.0,
            low=0.0,
            high=1e6,
        ),
        Parameter(
            name="elevation",
            quantity="length",
            text="Height above the datum of the site; absent: that of its place on the line or part.",
            optional=True,
            low=-5000.0,
            high=5000.0,
        ),
        Parameter(
            name="plugged",
            quantity="flag",
            text="Whether its end is plugged or capped while it is not used.",
            default=True,
        ),
    ),
    references=(
        Reference(
            name="on",
            kinds=(
                "pipe run",
                "buffer tank",
                "steam vessel",
                "heat exchanger",
                "chiller",
                "pump",
                "tee",
                "priority junction",
                "strainer",
                "air separator",
            ),
            text="The line or part on which it stands.",
        ),
        Reference(
            name="into",
            kinds=("buffer tank",),
            text="The tank that takes what leaves; absent: a hose to a vessel of the moment.",
            optional=True,
        ),
    ),
)
