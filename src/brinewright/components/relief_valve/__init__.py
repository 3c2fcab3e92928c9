"""Relief valve: opens by itself before what it guards bursts."""
