"""What probes and loggers make of the truth: offset, noise, resolution."""

import numpy as np


def seen(truth, rng, offset_K, noise_K, resolution_K=0.1):
    """Readings of a probe that is off by offset_K, jitters by noise_K and shows steps of resolution_K."""
    reading = np.asarray(truth) + offset_K + rng.normal(0, noise_K, len(truth))
    return np.round(reading / resolution_K) * resolution_K
