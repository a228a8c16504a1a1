"""A network as a packed ONNX file that cv::dnn of OpenCV 4.6 reads (Debian's PyTorch 1.13 writes such operators)."""
import gzip
import io

import numpy as np
import onnx
import torch
from onnx import numpy_helper


def write_onnx(net, example, names, path):
    """Weights rounded to half precision (cv::dnn 4.6 reads no other type than single), so that the packed file is half as large."""
    extra = {} if torch.__version__.startswith("1.") else {"dynamo": False}
    file = io.BytesIO()
    torch.onnx.export(net, example, file, opset_version=12, input_names=[names[0]], output_names=[names[1]], do_constant_folding=True, **extra)
    model = onnx.load_model_from_string(file.getvalue())
    for part in model.graph.initializer:
        if part.data_type == onnx.TensorProto.FLOAT:
            rounded = numpy_helper.to_array(part).astype(np.float16).astype(np.float32)
            part.CopyFrom(numpy_helper.from_array(rounded, part.name))
    with open(path, "wb") as out:
        out.write(gzip.compress(model.SerializeToString(), 9, mtime=0))
