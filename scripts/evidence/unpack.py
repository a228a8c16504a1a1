"""The weights of a packed ONNX file (pack.py) back in their network, to be gone on with: train_evidence.py --begin FILE.onnx.gz.

In the file each normalisation lies folded into the convolution before it. `settled` parts them again, so that the network says the same
and may be trained: mean and spread of what the convolution gives are taken from samples.
"""
import gzip

import onnx
import torch
import torch.nn as nn
from onnx import numpy_helper


def _in_order(net):
    """Names of the convolutions as they are run."""
    names, hooks = [], []
    for name, part in net.named_modules():
        if isinstance(part, (nn.Conv2d, nn.ConvTranspose2d)):
            hooks.append(part.register_forward_hook(lambda *_, name=name: names.append(name)))
    with torch.no_grad():
        net(torch.zeros(1, 6, 64, 160))
    for hook in hooks:
        hook.remove()
    return names


def _normal_after(net, name):
    parts = dict(net.named_modules())
    after = parts.get(name.rsplit(".", 1)[0] + ".1")
    return after if isinstance(after, nn.BatchNorm2d) else None


def unpacked(path, make):
    """@param make(width) The network, not yet trained."""
    model = onnx.load_model_from_string(gzip.open(path).read())
    held = {part.name: torch.from_numpy(numpy_helper.to_array(part).copy()) for part in model.graph.initializer}
    runs = [node for node in model.graph.node if node.op_type in ("Conv", "ConvTranspose")]
    net = make(len(held[runs[0].input[1]])).eval()
    parts = dict(net.named_modules())
    for name, run in zip(_in_order(net), runs, strict=True):
        parts[name].weight.data.copy_(held[run.input[1]])
        bias, after = held[run.input[2]], _normal_after(net, name)
        if after is None:
            parts[name].bias.data.copy_(bias)
        else:
            after.running_mean.zero_(), after.running_var.fill_(1 - after.eps)
            after.weight.data.fill_(1), after.bias.data.copy_(bias)
    return net


def settled(net, inputs):
    """@param inputs Batches of the network's input, enough to stand for all."""
    sums, hooks = {}, []

    def look(name):
        def keep(_, __, out):
            n, a, b = sums.get(name, (0, 0, 0))
            sums[name] = (n + out.numel() / out.shape[1], a + out.double().sum((0, 2, 3)), b + (out.double() ** 2).sum((0, 2, 3)))
        return keep

    normal = {name: _normal_after(net, name) for name in _in_order(net) if _normal_after(net, name) is not None}
    parts = dict(net.named_modules())
    for name in normal:
        hooks.append(parts[name].register_forward_hook(look(name)))
    with torch.no_grad():
        for x in inputs:
            net(x)
    for hook in hooks:
        hook.remove()
    for name, after in normal.items():
        n, a, b = sums[name]
        mean = a / n
        spread = (b / n - mean ** 2).clamp(min=1e-6)
        after.running_mean.copy_(mean), after.running_var.copy_(spread)
        after.bias.data += mean.float()
        after.weight.data = (spread + after.eps).sqrt().float()
    return net
