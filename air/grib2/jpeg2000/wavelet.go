package jpeg2000

// inverse undoes the wavelet transform of a tile, annex F.3. Each resolution
// stands in the upper left of the next one; lift undoes one row or column.
func inverse[T int32 | float32](a []T, l *layout, lift func(line []T, first int)) {
	stride := l.area.width()
	line := make([]T, max(l.area.width(), l.area.height()))
	for r := 1; r < len(l.resolutions); r++ {
		area, low := l.resolutions[r].area, l.resolutions[r-1].area
		w, h := area.width(), area.height()
		for y := range h {
			row := a[y*stride : y*stride+w]
			interleave(line[:w], row, 1, low.width(), area.x0&1)
			lift(line[:w], area.x0&1)
			copy(row, line)
		}
		for x := range w {
			column := a[x:]
			interleave(line[:h], column, stride, low.height(), area.y0&1)
			lift(line[:h], area.y0&1)
			for y := range h {
				column[y*stride] = line[y]
			}
		}
	}
}

// interleave puts low coefficients at even and high ones at odd coordinates; the
// line begins at a coordinate that is odd when first is 1.
func interleave[T any](line, from []T, stride, low, first int) {
	n := 0
	for i := first; i < len(line); i += 2 {
		line[i] = from[n*stride]
		n++
	}
	n = low
	for i := 1 - first; i < len(line); i += 2 {
		line[i] = from[n*stride]
		n++
	}
}

// mirrored adds the two neighbours of a sample; past an end the line is
// mirrored (F.3.7), so that the other one stands for both.
func mirrored[T int32 | float32](line []T, i int) T {
	switch {
	case i == 0:
		return 2 * line[1]
	case i == len(line)-1:
		return 2 * line[i-1]
	}
	return line[i-1] + line[i+1]
}

// lift53 is the reversible transform, equations F-5 and F-6.
func lift53(line []int32, first int) {
	if len(line) < 2 {
		if len(line) == 1 && first == 1 {
			line[0] /= 2
		}
		return
	}
	for i := first; i < len(line); i += 2 {
		line[i] -= (mirrored(line, i) + 2) >> 2
	}
	for i := 1 - first; i < len(line); i += 2 {
		line[i] += mirrored(line, i) >> 1
	}
}

// lift97 is the irreversible transform, equation F-8 with table F.4.
func lift97(line []float32, first int) {
	const (
		alpha = -1.586134342059924
		beta  = -0.052980118572961
		gamma = 0.882911075530934
		delta = 0.443506852043971
		k     = 1.230174104914001
		// The common C decoder has this for 2/k, too small by 3 parts in 100,000.
		// What it decodes is what everyone means by a lossy file, so it is kept.
		twoByK = 1.625732422
	)
	if len(line) < 2 {
		if len(line) == 1 && first == 1 {
			line[0] /= 2
		}
		return
	}
	for i := first; i < len(line); i += 2 {
		line[i] *= k
	}
	for i := 1 - first; i < len(line); i += 2 {
		line[i] *= twoByK / 2
	}
	step := func(begin int, factor float32) {
		for i := begin; i < len(line); i += 2 {
			line[i] -= float32(factor * mirrored(line, i))
		}
	}
	step(first, delta)
	step(1-first, gamma)
	step(first, beta)
	step(1-first, alpha)
}
