"""Sound, input and targets for training, made on the accelerator from parts, anew at every use.

The flow's sound is Gaussian noise under the spectrum that each moment's velocity (or a drawn band) gives; room, transducer,
reverberation, recorder, gain, squelch, clipping, codec and level are drawn. d' of each pulse is what an ideal observer could make of
it (as `src/sim/observer.rs`, coarser): it decides which pulse is the first that counts.
"""

import math

import torch
import torch.nn.functional as F

LENGTH, HOP, FRAMES, MOST, MOST_FREE = 368_000, 80, 4_600, 40, 96
STEPS = FRAMES // 2
N_FLOW, HOP_FLOW = 128, 32
HEARD, TRACE = 8.0, 2.0


class Maker:
    """Holds what every batch needs: windows, axes, the pools of parts."""

    def __init__(self, device, pools):
        self.device, self.pools, at = device, pools, dict(device=device)
        self.w_flow, self.w256, self.w512 = (torch.hann_window(n, **at) for n in (N_FLOW, 256, 512))
        self.f_flow, self.f_curve = torch.arange(65, **at) * 62.5, torch.linspace(0, 4000, 129, **at)
        self.at, self.frame_s = torch.arange(LENGTH, **at, dtype=torch.float64), torch.arange(FRAMES, **at) / 100.0
        self.step_s = (torch.arange(STEPS, **at) * 2 + 0.5) / 100.0
        # What the program's resampler leaves of the highest bands.
        self.intake = torch.sigmoid((3880 - self.f_curve) / 70)

    def power(self, x, n, window, low, high):
        z = torch.stft(F.pad(x, (n // 2, n // 2 - HOP)), n, HOP, window=window, center=False, return_complex=True)[:, low:high, :FRAMES]
        return z.real ** 2 + z.imag ** 2

    def features(self, x, n):
        """The network's input (the same as `reference.py` makes in NumPy); n: frames of each sound."""
        p = self.power(x, 256, self.w256, 3, 123)
        p = F.avg_pool1d(p.transpose(1, 2), 2, 2).transpose(1, 2)
        q = self.power(x, 512, self.w512, 6, 246)
        inside = torch.arange(FRAMES, device=self.device)[None] < n[:, None]
        e = p.mean(1) * inside
        mean = (e.sum(1) / n)[:, None] + 1e-20
        live = (e > 1e-5 * mean) & inside
        level = torch.log(p / mean[:, None] + 1e-6)
        last = torch.minimum(torch.arange(FRAMES, device=self.device)[None].expand(len(x), -1), n[:, None] - 1)
        level = level.gather(2, last[:, None].expand(-1, 60, -1))
        some = torch.where(live[:, None, ::7], level[:, :, ::7], torch.full_like(level[:, :, ::7], float("nan")))
        base = torch.nan_to_num(torch.nanquantile(some, 0.3, dim=2, keepdim=True))
        high = torch.nan_to_num(torch.nanquantile(some.mean(1), 0.9, dim=1))[:, None, None]
        near = F.avg_pool1d(F.pad(level, (7, 7), mode="replicate"), 15, 1)
        near = -F.max_pool1d(F.pad(-near, (50, 50), mode="replicate"), 101, 1)
        q = q / mean[:, None] + 4e-6
        beside = F.avg_pool1d(q.transpose(1, 2), 21, 1, 10, count_include_pad=False).transpose(1, 2)
        tone = torch.log(F.max_pool1d((q / beside).transpose(1, 2), 4, 4).transpose(1, 2) + 1e-3)
        rows = [(level - base).clamp(-4, 10) / 3, (level - near).clamp(-4, 10) / 3, (level - high).clamp(-10, 4) / 3, tone.clamp(-2, 3) / 1.5]
        z = torch.stack(rows, 1)
        return torch.where(inside[:, None, None], z, torch.zeros_like(z))

    def targets(self, x, on, end, d, occ, dur, beat_s, free):
        """What is to be found in sounds whose pulses have these onsets, ends and d'; `free`: the same of pulses that did not return."""
        ok, rank = on >= 0, torch.arange(MOST, device=self.device)[None]
        strong = (d >= HEARD) & ok
        follows = F.pad(strong[:, 1:], (0, 1)) | F.pad(strong[:, 2:], (0, 2))
        counts = strong & follows
        ref = counts.float().argmax(1)
        has = counts.any(1) & (ok.sum(1) - ref >= 3)
        ref_s = on.gather(1, ref[:, None])[:, 0]
        sure = (has | (d.amax(1) < 3)).float()
        before = (rank < ref[:, None]) & (d >= TRACE)
        start = torch.minimum(ref_s - 2 * beat_s, torch.where(before, on, torch.full_like(on, 1e3)).amin(1))
        right = ok & (on >= start[:, None] - 0.02) & (rank <= ref[:, None] + 1) & (d >= TRACE)
        off = (self.step_s[None, None] - on[:, :, None]).abs()
        near = (off < 0.025) & ok[:, :, None]
        y = (near & (d >= 5)[:, :, None]).any(1).float()
        unsure = ((near & ((d < 5) & (d > 1))[:, :, None]) | ((off < 0.07) & ok[:, :, None] & ~near)).any(1)
        worth = torch.where((rank == ref[:, None]) & has[:, None], torch.ones_like(d), right.float() * 0.3)
        weight = (near.float() * worth[:, :, None]).amax(1)
        after = (self.step_s[None] > occ[:, None] - 1) & (self.step_s[None] < dur[:, None])
        return dict(x=self.features(x, (dur * 100).long()), y=y, scored=(after & (~unsure | (y > 0))).float(), has=has, sure=sure, weight=weight,
                    ref_s=ref_s, right=right, on=on, inside=self.frame_s[None] < dur[:, None], d=d)

    def curve(self, g, n, b, knots, spread):
        z = torch.randn(b, 1, knots, generator=g, device=self.device) * (spread[:, None, None] if torch.is_tensor(spread) else spread)
        return F.interpolate(z, size=n, mode="linear", align_corners=True)[:, 0]

    def batch(self, rows, g, low, high):
        """Sounds of these rows of curves, over noise tracks `low` to `high`, with targets."""
        b, pools = len(rows), self.pools
        draw = Draw(b, g, self.device)
        i = torch.from_numpy(rows).to(self.device)
        made = pools.make[i]
        v, amp, hand = (pools.curves[i].float() / 4096).unbind(1)
        on, end, occ, dur, beat_s = pools.on[i], pools.end[i], pools.occ[i], pools.dur[i], pools.beat[i]
        free_on, free_end = pools.free_on[i], pools.free_end[i]
        s, noise_of_device = self.flow(draw, made, v, amp)
        gate = draw.chance(0.14)
        n = self.room(draw, gate, on, occ, dur, hand, noise_of_device, (low, high))
        s, n = self.recorded(draw, s, n)
        live = (self.at[None] < dur[:, None] * 8000).float()
        s, n = s * live, n * live
        x, gain, energy = self.gained(draw, s + n, gate, occ, dur)
        d, free_d = self.plain(s, n, gain, torch.cat([on, free_on], 1), torch.cat([end, free_end], 1)).split([MOST, MOST_FREE], 1)
        x = self.spoiled(draw, x, energy)
        peak = x.abs().amax(1, keepdim=True) + 1e-9
        steps = 32767 * c2(10 ** (-draw.between(0, 38) / 20)) / peak
        x = (x * steps).round() / steps * live
        return self.targets(x, on, end, d, occ, dur, beat_s, (free_on, free_end, free_d, torch.ones_like(dur)))

    def flow(self, draw, made, v, amp):
        """The flow's sound at 65 times the power of its floor, and the spectrum of the transducer's own noise."""
        b, f, f1 = len(made), self.f_flow[None, :, None].clamp(min=20.0), self.f_curve[None]
        u, chance = draw.between, draw.chance
        doppler = 2 * draw.pick([4e6, 5e6, 8e6, 8e6, 10e6]) * u(0.4, 0.8) / 1540
        top = (doppler[:, None] * v)[:, None].clamp(min=1.0)
        artery = torch.where(f < top, (f / top) ** c3(u(-0.3, 1.6)), torch.exp(-((f - top) / (0.12 * top + 40)) ** 2))
        artery = artery / artery.sum(1, keepdim=True).clamp(min=1e-9) * high_pass(f, c3(draw.log_between(60, 350)), torch.full((1, 1, 1), 2.0, device=self.device))
        narrow = chance(0.4)
        low = torch.where(narrow, u(250, 520), draw.log_between(80, 450))
        high = torch.maximum(torch.where(narrow, u(1200, 2300), draw.log_between(500, 3600)), low * 1.6 + 150)
        least = torch.where(chance(0.3), torch.ones(b, device=self.device), u(0.25, 1.0))
        speed = v[:, None].clamp(0, 1.7)
        high_t = (c3(low) + c3(high - low) * (c3(least) + (1 - c3(least)) * speed)).clamp(min=60.0)
        rises = c3(torch.where(chance(0.25), u(0, 0.6), torch.zeros(b, device=self.device)))
        band = high_pass(f, c3(low) * (1 + rises * speed), c3(u(1, 6))) * low_pass(f, high_t, c3(u(1, 6))) * (f / 700) ** c3(u(-1.2, 1.0))
        band = torch.where(c3(chance(0.5)), band / band.sum(1, keepdim=True).clamp(min=1e-9), band / band.sum(1).mean(1)[:, None, None].clamp(min=1e-9))
        g = torch.where(c3(made == 0), artery, band)
        banded, steep = (made == 0) & chance(0.65), chance(0.5)
        d_low, d_high = torch.where(steep, u(250, 520), u(60, 420)), torch.where(steep, u(1200, 2300), u(1300, 3900))
        order = torch.where(steep, u(2, 7), u(1, 5))
        device = high_pass(f1, c2(d_low), c2(order)) * low_pass(f1, c2(d_high), c2(order))
        device = torch.where(c2(banded), device, torch.ones_like(device)) * (f1.clamp(min=60.0) / 1000) ** c2(u(-0.8, 0.8))
        device = device * torch.exp(self.curve(draw.g, 129, b, 9, u(0, 0.8)))
        is_burst = made == 1
        own = high_pass(f1, c2(torch.where(is_burst, low, d_low) * u(0.6, 1.1)), c2(u(1, 4))) * low_pass(f1, c2(torch.where(is_burst, high, d_high) * u(0.9, 1.5)), c2(u(1, 4)))
        own = torch.where(c2(banded | is_burst), own, torch.ones_like(own))
        g = g * device[:, ::2, None] * (amp * amp)[:, None]
        loudest = g.sum(1).topk(300, dim=1).values.mean(1).clamp(min=1e-12)
        g = (g * (65 / loudest)[:, None, None]).sqrt()
        z = torch.stft(torch.randn(b, LENGTH, generator=draw.g, device=self.device), N_FLOW, HOP_FLOW, window=self.w_flow, return_complex=True)
        return torch.istft(z * F.pad(g, (0, 1), mode="replicate"), N_FLOW, HOP_FLOW, window=self.w_flow, length=LENGTH), own / own.mean(1, keepdim=True)

    def room(self, draw, gate, on, occ, dur, hand, own, tracks):
        """Two tracks that may stop and start, some at the return; the hand; the device's and the recorder's noise."""
        b, u, chance, f1 = len(occ), draw.between, draw.chance, self.f_curve[None]
        quiet = gate & chance(0.75)
        snr = torch.where(chance(0.55), u(0, 8), u(-4, 22))
        use = [chance(0.84) & ~quiet, chance(0.22) & ~quiet]
        back = torch.where(on >= 0, on, torch.full_like(on, 1e3)).amin(1)
        back = torch.where(back > 900, occ + u(2, 10), back)
        total = 0
        for q in range(2):
            y = self.track(draw, tracks)
            switch = u(0, 1, 6) * dur[:, None]
            switch[:, 0] = torch.where(chance(0.6), back + torch.randn(b, generator=draw.g, device=self.device) * 0.7, switch[:, 0])
            levels = torch.tensor([0.0, 0.0, 0.0, -6.0, -12.0, -30.0, -60.0], device=self.device)[torch.randint(0, 7, (b, 7), generator=draw.g, device=self.device)]
            part = (self.frame_s[None, :, None] > switch.sort(1).values[:, None]).sum(2)
            level = torch.where(c2(chance(0.38)), levels.gather(1, part), torch.zeros(b, FRAMES, device=self.device))
            level = F.avg_pool1d(10 ** (level / 20)[:, None], 5, 1, 2, count_include_pad=False)[:, 0]
            y = y * up(level) * c2(use[q].float() * 10 ** (-(snr + (u(0, 7) if q else 0)) / 20))
            tint = torch.exp(self.curve(draw.g, 129, b, 9, torch.where(chance(0.5), u(0, 0.8), torch.zeros(b, device=self.device))))
            tint = torch.where(c2(chance(0.15)), tint * high_pass(f1, c2(draw.log_between(60, 700)), c2(u(1, 3))) * low_pass(f1, c2(draw.log_between(700, 3900)), c2(u(1, 3))), tint)
            total = total + torch.fft.rfft(y) * long(tint.sqrt())
        squeeze = torch.randn(b, LENGTH, generator=draw.g, device=self.device) * up(hand)
        total = total + torch.fft.rfft(squeeze) * long(((f1.clamp(min=60.0) / 600) ** c2(u(-1.5, 0.7))).clamp(max=4.0).sqrt())
        white = torch.view_as_complex(torch.randn(b, LENGTH // 2 + 1, 2, generator=draw.g, device=self.device)) * math.sqrt(LENGTH / 2)
        floor = (f1.clamp(min=60.0) / 1000) ** c2(u(-1.6, 0.4))
        floor = floor / floor.mean(1, keepdim=True)
        of_device = torch.where(chance(0.8), u(8, 45), torch.full((b,), 70.0, device=self.device))
        of_recorder = torch.where(chance(0.85), u(12, 55), torch.full((b,), 75.0, device=self.device))
        return total + white * long((own * c2(10 ** (-of_device / 10)) + floor * c2(10 ** (-of_recorder / 10))).sqrt())

    def track(self, draw, tracks):
        """A noise track at another pace, begun anywhere."""
        b = draw.b
        j = torch.randint(tracks[0], tracks[1], (b,), generator=draw.g, device=self.device)
        y = self.pools.noise[j].float() / 16000
        y = y / (y.pow(2).mean(1, keepdim=True).sqrt() + 1e-6)
        at = (draw.between(0, LENGTH - 1).double()[:, None] + self.at[None] * draw.log_between(0.82, 1.22).double()[:, None]) % LENGTH
        i = at.floor().long().clamp(max=LENGTH - 1)
        part = (at - i).float()
        return y.gather(1, i) * (1 - part) + y.gather(1, (i + 1) % LENGTH) * part

    def recorded(self, draw, s, spectrum):
        """Reverberation of the flow, the recorder's band over all; back to sound."""
        b, u, chance, f1 = draw.b, draw.between, draw.chance, self.f_curve[None]
        tail = torch.arange(2800, device=self.device)[None]
        echo = torch.randn(b, 2800, generator=draw.g, device=self.device) * torch.exp(-tail / c2(u(0.02, 0.08) * 8000))
        echo = echo * c2(u(0.1, 0.4) * chance(0.45).float()) / echo.pow(2).sum(1, keepdim=True).sqrt()
        echo[:, 0] = 1
        banded, steep = chance(0.4), chance(0.4)
        tint = high_pass(f1, c2(torch.where(steep, u(250, 500), u(60, 400))), c2(u(1, 5))) * low_pass(f1, c2(torch.where(steep, u(1500, 3400), u(1700, 3900))), c2(u(1, 6)))
        tint = torch.where(c2(banded), tint, torch.ones_like(tint)) * torch.exp(self.curve(draw.g, 129, b, 9, u(0, 0.5)))
        tint = torch.where(c2(chance(0.6)), tint * self.intake[None], tint)
        tint = long(tint.sqrt())
        s = torch.fft.irfft(torch.fft.rfft(s) * torch.fft.rfft(echo, n=LENGTH) * tint, n=LENGTH)
        return s, torch.fft.irfft(spectrum * tint, n=LENGTH)

    def gained(self, draw, x, gate, occ, dur):
        """Wandering and automatic gain, squelch; also the gate over frames and the energy under the gain."""
        b, u, chance, t = draw.b, draw.between, draw.chance, self.frame_s[None]
        energy = x.pow(2).view(b, FRAMES, HOP).mean(2)
        gain = torch.exp(self.curve(draw.g, FRAMES, b, 24, torch.where(chance(0.5), u(0, 0.4), torch.zeros(b, device=self.device))))
        kernel = torch.exp(-torch.arange(400, device=self.device)[None] / (draw.log_between(0.15, 3.0) * 100)[:, None])
        kernel = (kernel / kernel.sum(1, keepdim=True)).flip(1)
        slow = F.conv1d(F.pad(energy[None], (399, 0)), kernel[:, None], groups=b)[0]
        even = (slow / (energy.mean(1, keepdim=True) + 1e-12) + c2(10 ** (-u(1.5, 4.5)))).pow(-0.5 * c2(u(0.5, 1.0)))
        gain = gain * torch.where(c2(chance(0.2)), even, torch.ones_like(slow))
        energy = energy * gain * gain
        smooth = F.avg_pool1d(energy[:, None], 3, 1, 1)[:, 0]
        nan = torch.full_like(smooth, float("nan"))
        closed = (t > occ[:, None] - 0.2) & (t < occ[:, None] + c2(u(0.8, 3.0))) & (t < dur[:, None])
        middle = torch.nan_to_num(torch.nanquantile(torch.where(closed, smooth, nan), 0.5, dim=1))
        third = torch.nan_to_num(torch.nanquantile(torch.where(t < dur[:, None], smooth, nan)[:, ::5], 0.35, dim=1))
        least = torch.where(chance(0.7), middle, third) * draw.log_between(1.15, 3.0) ** 2
        opens = (smooth > least[:, None]).float()[:, None]
        holds = [F.max_pool1d(opens, 15, 1, 7)[:, 0], F.max_pool1d(opens, 35, 1, 17)[:, 0], F.max_pool1d(F.pad(opens, (24, 0)), 25, 1, 0)[:, 0]]
        which = torch.randint(0, 3, (b,), generator=draw.g, device=self.device)
        hold = torch.where(c2(which == 0), holds[0], torch.where(c2(which == 1), holds[1], holds[2]))
        rest = torch.where(chance(0.7), torch.zeros(b, device=self.device), 10 ** (-u(14, 40) / 20))
        shut = torch.where(c2(gate), c2(rest) + (1 - c2(rest)) * hold, torch.ones_like(hold))
        return x * up(gain * shut), shut, energy

    def plain(self, s, n, gate, on, end):
        """d' of each pulse."""
        ps, pn = (self.power(y, 256, self.w256, 3, 123) * (gate * gate)[:, None] for y in (s, n))
        scale = (ps + pn).mean((1, 2), keepdim=True) + 1e-12
        expected = F.avg_pool2d(ps[:, None], (9, 3), 1, (4, 1), count_include_pad=False)[:, 0]
        noise = torch.maximum(F.avg_pool1d(pn, 51, 1, 25, count_include_pad=False), F.avg_pool2d(pn[:, None], (5, 3), 1, (2, 1), count_include_pad=False)[:, 0]) + 1e-6 * scale
        r = expected / noise
        each = (r * r / (1 + r))[:, 3:].sum(1) * 0.31
        sum_ = F.pad(each.cumsum(1), (1, 0))
        from_, to = (on * 100).clamp(0, FRAMES - 1).long(), (end * 100).clamp(0, FRAMES).long()
        return (sum_.gather(1, to) - sum_.gather(1, from_)).clamp(min=0).sqrt() * (on >= 0)

    def spoiled(self, draw, x, energy):
        """Limiters, lossy codecs and noise suppression."""
        loud = energy.topk(60, dim=1).values.mean(1).sqrt() + 1e-9
        limit, kind = c2(loud * draw.log_between(0.6, 4.0)), draw.between(0, 1)
        x = torch.where(c2(kind < 0.1), limit * torch.tanh(x / limit), torch.where(c2(kind < 0.16), torch.maximum(torch.minimum(x, limit), -limit), x))
        some = draw.chance(0.14).nonzero()[:, 0]
        if not len(some):
            return x
        u = lambda a, b: torch.rand(len(some), 1, 1, generator=draw.g, device=self.device) * (b - a) + a
        z = torch.stft(x[some], 512, 128, window=self.w512, return_complex=True)
        power = z.real ** 2 + z.imag ** 2 + 1e-12
        smooth = F.avg_pool2d(power[:, None], (13, 5), 1, (6, 2), count_include_pad=False)[:, 0]
        holes = (power > smooth * 10 ** (-u(0.4, 2.0))).float() * (torch.linspace(0, 4000, 257, device=self.device)[None, :, None] < u(2300, 5000)).float()
        floor = torch.quantile(power[:, :, ::9], 0.3, dim=2, keepdim=True)
        kept = (1 - u(0.8, 2.5) * floor / F.avg_pool2d(power[:, None], (3, 3), 1, 1, count_include_pad=False)[:, 0]).clamp(min=0.0)
        kept = torch.maximum(kept, u(0.03, 0.4))
        x = x.clone()
        x[some] = torch.istft(z * torch.where(u(0, 1) < 0.6, holes, kept), 512, 128, window=self.w512, length=LENGTH)
        return x

    def simulated(self, rows, g):
        """Whole recordings of the program's own simulator, through a drawn recorder."""
        b, pools = len(rows), self.pools
        draw, i = Draw(b, g, self.device), torch.from_numpy(rows).to(self.device)
        x, dur, pace = self.paced(pools.sim[i].float() / 32767, pools.s_dur[i], torch.where(draw.chance(0.6), draw.log_between(0.87, 1.15), torch.ones(b, device=self.device)))
        tint = torch.exp(self.curve(g, 129, b, 9, torch.where(draw.chance(0.6), draw.between(0, 0.4), torch.zeros(b, device=self.device))))
        x = torch.fft.irfft(torch.fft.rfft(x) * long(tint.sqrt()), n=LENGTH) * (self.at[None] < dur[:, None] * 8000)
        on, end, d = self.paced_pulses(pools.s_on[i], pools.s_end[i], pools.s_d[i], dur, pace)
        free = self.paced_pulses(pools.s_free_on[i], pools.s_free_end[i], pools.s_free_d[i], dur, pace)
        return self.targets(x, on, end, d, pools.s_occ[i] / pace, dur, pools.s_beat[i] / pace, (*free, pools.s_free_known[i]))

    def paced_pulses(self, on, end, d, dur, pace):
        there = (on >= 0) & (on / c2(pace) < c2(dur) - 0.1)
        none = torch.full_like(on, -1.0)
        return torch.where(there, on / c2(pace), none), torch.where(there, end / c2(pace), none), d * there

    def paced(self, x, dur, pace):
        """Sounds heard faster or slower; how long they are then, at most what is kept."""
        at = self.at[None] * pace.double()[:, None]
        i = at.floor().long().clamp(max=LENGTH - 2)
        part = (at - i).float()
        y = x.gather(1, i) * (1 - part) + x.gather(1, i + 1) * part
        shorter = (dur / pace).clamp(max=LENGTH / 8000)
        return torch.where(c2(pace == 1), x, y * (at < LENGTH - 1)), shorter, pace


class Draw:
    """Numbers by chance, one a sound."""

    def __init__(self, b, g, device):
        self.b, self.g, self.device = b, g, device

    def between(self, a, b, *shape):
        return torch.rand(self.b, *shape, generator=self.g, device=self.device) * (b - a) + a

    def log_between(self, a, b):
        return torch.exp(self.between(math.log(a), math.log(b)))

    def chance(self, p):
        return self.between(0, 1) < p

    def pick(self, values):
        return torch.tensor(values, device=self.device)[torch.randint(0, len(values), (self.b,), generator=self.g, device=self.device)]


def c2(z):
    return z[:, None]


def c3(z):
    return z[:, None, None]


def up(x):
    return F.interpolate(x[:, None], size=LENGTH, mode="linear", align_corners=False)[:, 0]


def long(x):
    return F.interpolate(x[:, None], size=LENGTH // 2 + 1, mode="linear", align_corners=True)[:, 0]


def high_pass(f, hz, order):
    return 1 / (1 + (hz / f.clamp(min=10.0)) ** (2 * order).clamp(max=16.0))


def low_pass(f, hz, order):
    return 1 / (1 + (f.clamp(min=10.0) / hz) ** (2 * order).clamp(max=16.0))
