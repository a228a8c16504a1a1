#!/usr/bin/env python3
"""Writes a trained reader of the stand as the file that vision/pose is built with: export_stand.py WEIGHTS.npz --out FILE.onnx.gz

Weights are rounded to half precision (cv::dnn 4.6 reads no other type than single), so that the packed file is half as large."""
import argparse
import os
import sys

import torch

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from evidence.pack import write_onnx  # noqa: E402
from stand.net import StandNet  # noqa: E402
from stand.samples import COLUMNS, ROWS, WRAP  # noqa: E402


def main():
    p = argparse.ArgumentParser()
    p.add_argument("weights")
    p.add_argument("--out", required=True)
    a = p.parse_args()
    write_onnx(StandNet.kept_in(a.weights).eval(), torch.zeros(1, 5, ROWS, COLUMNS + 2 * WRAP), ("strip", "said"), a.out)


if __name__ == "__main__":
    main()
