#!/usr/bin/env python3
"""Mixes weights of one training: mix_evidence.py OUT.npz A.npz B.npz: their mean, which is less sure of itself than either and was
less surprised by held-out scenes (toes and state) than the weights of least surprise and the last ones of the run."""
import sys

import numpy as np

parts = [np.load(path) for path in sys.argv[2:]]
np.savez(sys.argv[1], **{k: sum(p[k] for p in parts) / len(parts) if parts[0][k].dtype.kind == "f" else parts[-1][k] for k in parts[0]})
