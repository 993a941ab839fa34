"""Accuracy against cost of second hearing: widths.py PARTS SIM OUT SECONDS [SHIPPED.pt].

Trains networks of several widths side by side for SECONDS, each step on the same sounds, and then hears with each the sounds
that were kept apart, with weights in single and half precision and in eight bits (one scale for each output; activations as
in training). Beside them, where a state of `again.py` is given, the weights that the program ships. Cost is multiply-adds and
the time of one processor core for 45 s of sound, in single precision. OUT gets widths.csv. PARTS, SIM and the settings are those of `second.py`.
"""

import copy
import csv
import sys
import time

import numpy as np
import torch

import second
from flow import Maker
from network import Net

WIDTHS = (64, 128, 192)
TOLD_S = 45


def eight_bits(weight):
    """Rounded to 127 steps to both sides of zero, for each output on its own."""
    rows = weight.flatten(1)
    scale = rows.abs().amax(1, keepdim=True).clamp(min=1e-12) / 127
    return ((rows / scale).round() * scale).view_as(weight)


def in_precision(net, precision):
    net = copy.deepcopy(net)
    with torch.no_grad():
        for weight in net.parameters():
            if precision == "half":
                weight.copy_(weight.half().float())
            elif precision == "eight bits" and weight.ndim > 1:
                weight.copy_(eight_bits(weight))
    return net


def multiply_adds(net):
    """Millions a second of sound, without the sums of attention: every weight of a layer once for each place at which it is used."""
    places = dict(c1=100 * 30, c2=100 * 15, c3=100 * 8, enter=50, blocks=50, look=25, onset=50, pointer=50, heed=50)
    count = sum(weight.numel() * places.get(name.split(".")[0], 0) for name, weight in net.named_parameters() if weight.ndim > 1)
    return count / 1e6


def seconds_of_a_core(net):
    """For 45 s of sound: the median of five, on the processor."""
    net, took = copy.deepcopy(net).cpu().eval(), []
    x, inside = torch.randn(1, 4, 60, 100 * TOLD_S), torch.ones(1, 100 * TOLD_S, dtype=torch.bool)
    threads = torch.get_num_threads()
    torch.set_num_threads(1)
    with torch.no_grad():
        for _ in range(5):
            began = time.time()
            net(x, inside)
            took.append(time.time() - began)
    torch.set_num_threads(threads)
    return sorted(took)[2]


def train(nets, maker, pools, seconds):
    """All nets on the same batches; the means of their weights, and the steps."""
    rng, g = np.random.default_rng(5), torch.Generator(device=second.DEVICE)
    g.manual_seed(6)
    optimizers = [torch.optim.AdamW(net.parameters(), 1e-3, weight_decay=0.02, betas=(0.9, 0.98)) for net in nets]
    means = [copy.deepcopy(net) for net in nets]
    step, start, last = 0, time.time(), time.time()
    while time.time() < start + seconds:
        if time.time() - last > 3:
            pools.poll(10)
            last = time.time()
        with torch.no_grad():
            b = second.batch(maker, pools, rng, g)
        step += 1
        for net, mean, optimizer in zip(nets, means, optimizers):
            optimizer.param_groups[0]["lr"] = second.rate((time.time() - start) / seconds, step, step)
            loss, _ = second.objective(net, b)
            optimizer.zero_grad(set_to_none=True)
            loss.backward()
            if not bool(torch.isfinite(torch.nn.utils.clip_grad_norm_(net.parameters(), 1.0))):
                continue
            optimizer.step()
            with torch.no_grad():
                keep = min(0.999, step / (step + 30.0))
                torch._foreach_lerp_(list(mean.parameters()), list(net.parameters()), 1 - keep)
        if step % 250 == 0:
            print(step, f"{time.time() - start:.0f} s", pools.filled, float(loss.detach()), flush=True)
    return means, step


def main():
    parts, sim, out, seconds = *sys.argv[1:4], float(sys.argv[4])
    torch.backends.cuda.matmul.allow_tf32 = torch.backends.cudnn.allow_tf32 = torch.backends.cudnn.benchmark = True
    torch.manual_seed(1)
    pools = second.Pools(parts, sim)
    maker = Maker(second.DEVICE, pools)
    began = time.time()
    while pools.filled["noise"] < second.NEED and time.time() - began < 120:
        pools.poll(40)
        time.sleep(0.3)
    nets, steps = train([Net(width).to(second.DEVICE) for width in WIDTHS], maker, pools, seconds)
    rows = [(str(width), steps, net) for width, net in zip(WIDTHS, nets)]
    if len(sys.argv) > 5:
        shipped = Net()
        shipped.load_state_dict(torch.load(sys.argv[5])["net"])
        rows.append(("128, as shipped", "", shipped.to(second.DEVICE)))
    with open(out + "/widths.csv", "w", newline="") as file:
        table = csv.writer(file)
        table.writerow(["width", "steps", "weights", "megabytes", "million multiply-adds a second", "s of a core for 45 s",
                        *(f"{kind}: {what}" for kind in second.KINDS for what in ("hit", "early", "missed", "returns", "false", "without"))])
        for name, step, net in rows:
            count, core_s = sum(weight.numel() for weight in net.parameters()), seconds_of_a_core(net)
            for precision, bytes_each in (("single", 4), ("half", 2), ("eight bits", 1)):
                counts = second.counted(in_precision(net, precision), maker, pools)
                table.writerow([name, step, precision, round(count * bytes_each / 1e6, 2), round(multiply_adds(net)), round(core_s, 3), *counts.ravel()])
                file.flush()
                print(name, precision, counts.tolist(), flush=True)
    for width, net in zip(WIDTHS, nets):
        torch.save({name: weight.half() for name, weight in net.state_dict().items()}, f"{out}/width-{width}.pt")


if __name__ == "__main__":
    main()
