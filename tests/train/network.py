"""The network of second hearing: a sound's spectra in, a pointer to the first pulse of the return out.

Input 4 x 60 x T: rows, bands from 94 to 3,844 Hz, frames of 10 ms (`flow.features`). Three convolutions over bands and time bring it to steps
of 20 ms, fifteen residual blocks of three taps spread up to 128 steps, and two blocks of attention over steps of 40 ms see the
whole. Out: log-odds that a returned pulse begins at each step, the pointer's logits over steps, log-odds that something
returned at all. `src/signal/recall/` is the same in Rust, tested against `tests/reference/second.txt`.
"""

import math

import torch
import torch.nn as nn
import torch.nn.functional as F

DILATIONS = ((1, 2, 4, 8, 16, 32), (1, 4, 16, 64, 128), (1, 2, 8, 32))
HEADS, WIDTH = 4, 128


def bend(x):
    """x times the logistic function of 1.702 x: close to GELU, and one exponential."""
    return x * torch.sigmoid(1.702 * x)


class Block(nn.Module):
    def __init__(self, width, apart):
        super().__init__()
        self.norm, self.a, self.b, self.apart = nn.LayerNorm(width), nn.Linear(3 * width, width), nn.Linear(width, width), apart

    def forward(self, h, inside):
        y = self.norm(h) * inside
        y = y.bfloat16() if y.is_cuda else y
        z, n = F.pad(y, (0, 0, self.apart, self.apart)), y.shape[1]
        return h + self.b(bend(self.a(torch.cat([z[:, :n], y, z[:, 2 * self.apart:]], 2))))


class Attention(nn.Module):
    def __init__(self, width):
        super().__init__()
        self.norm, self.qkv, self.out = nn.LayerNorm(width), nn.Linear(width, 3 * width), nn.Linear(width, width)
        half = width // HEADS // 2
        self.register_buffer("turns", torch.exp(-math.log(2000.0) * torch.arange(half) / half))
        nn.init.zeros_(self.out.weight)

    def forward(self, h, bias):
        b, n, width = h.shape
        q, k, v = self.qkv(self.norm(h)).reshape(b, n, 3, HEADS, width // HEADS).permute(2, 0, 3, 1, 4).unbind(0)
        phase = torch.arange(n, device=h.device).float()[:, None] * self.turns[None]
        cos, sin = phase.cos().to(q.dtype), phase.sin().to(q.dtype)

        def turned(a):
            first, second = a.chunk(2, -1)
            return torch.cat([first * cos - second * sin, first * sin + second * cos], -1)

        q, k = turned(q), turned(k)
        if q.is_cuda:
            more = -n % 16
            longer = lambda a: F.pad(a, (0, 0, 0, more))
            mask = F.pad(bias, (0, more), value=-1e4).to(q.dtype).expand(b, HEADS, n + more, n + more)
            y = F.scaled_dot_product_attention(longer(q), longer(k), longer(v), attn_mask=mask)[:, :, :n]
        else:
            y = torch.softmax(q @ k.transpose(-1, -2) * (width // HEADS) ** -0.5 + bias, -1) @ v
        return h + self.out(y.transpose(1, 2).reshape(b, n, width))


class Net(nn.Module):
    def __init__(self, width=WIDTH):
        super().__init__()
        a, b, c = width // 8, 3 * width // 16, width // 4
        self.c1, self.c2 = nn.Conv2d(4, a, (5, 5), (2, 1), (2, 2)), nn.Conv2d(a, b, (5, 3), (2, 1), (2, 1))
        self.c3, self.enter = nn.Conv2d(b, c, (3, 3), (2, 1), (1, 1)), nn.Conv1d(c * 8, width, 4, 2, 1)
        self.blocks = nn.ModuleList([nn.ModuleList([Block(width, d) for d in group]) for group in DILATIONS])
        self.look = nn.ModuleList([Attention(width), Attention(width)])
        self.norm, self.onset, self.pointer = nn.LayerNorm(width), nn.Linear(width, 1), nn.Linear(width, 1)
        self.heed, self.any = nn.Linear(width, 4), nn.Linear(4 * width, 1)

    def whole(self, look, h, bias):
        """Attention over pairs of steps, what it adds given to both."""
        q = F.avg_pool1d(h.transpose(1, 2), 2, 2).transpose(1, 2)
        y = look(q, bias) - q
        return h + torch.stack([y, y], 2).flatten(1, 2)

    def forward(self, x, inside):
        """x: B x 4 x 60 x T, T a multiple of 4; inside: B x T, false behind a sound's end."""
        h = bend(self.c3(bend(self.c2(bend(self.c1(x))))))
        h = self.enter(h.flatten(1, 2)).transpose(1, 2).float().contiguous()
        steps = inside[:, ::2]
        mask, bias = steps[:, :, None].to(h.dtype), ((1 - inside[:, ::4].float()) * -1e4)[:, None, None, :]
        for group, look in zip(self.blocks, [*self.look, None]):
            for block in group:
                h = block(h, mask)
            h = self.whole(look, h, bias) if look is not None else h
        h = self.norm(h)
        pointer = self.pointer(h)[:, :, 0].float().masked_fill(~steps, -1e4)
        weight = torch.softmax(self.heed(h).float().masked_fill(~steps[:, :, None], -1e4), 1)
        seen = (weight.transpose(1, 2) @ h.float()).flatten(1)
        return self.onset(h)[:, :, 0].float(), pointer, self.any(seen)[:, 0].float()
