package jpeg2000

import "math/bits"

// estimate is one state of the probability estimation, table C.2.
type estimate struct {
	qe         uint32
	more, less uint8 // next state after the more and the less probable symbol
	swap       uint8 // 1: the less probable symbol becomes the more probable one
}

var estimates = [47]estimate{
	{0x5601, 1, 1, 1}, {0x3401, 2, 6, 0}, {0x1801, 3, 9, 0}, {0x0ac1, 4, 12, 0}, {0x0521, 5, 29, 0}, {0x0221, 38, 33, 0},
	{0x5601, 7, 6, 1}, {0x5401, 8, 14, 0}, {0x4801, 9, 14, 0}, {0x3801, 10, 14, 0}, {0x3001, 11, 17, 0}, {0x2401, 12, 18, 0}, {0x1c01, 13, 20, 0}, {0x1601, 29, 21, 0},
	{0x5601, 15, 14, 1}, {0x5401, 16, 14, 0}, {0x5101, 17, 15, 0}, {0x4801, 18, 16, 0}, {0x3801, 19, 17, 0}, {0x3401, 20, 18, 0}, {0x3001, 21, 19, 0}, {0x2801, 22, 19, 0}, {0x2401, 23, 20, 0}, {0x2201, 24, 21, 0},
	{0x1c01, 25, 22, 0}, {0x1801, 26, 23, 0}, {0x1601, 27, 24, 0}, {0x1401, 28, 25, 0}, {0x1201, 29, 26, 0}, {0x1101, 30, 27, 0}, {0x0ac1, 31, 28, 0}, {0x09c1, 32, 29, 0}, {0x08a1, 33, 30, 0}, {0x0521, 34, 31, 0},
	{0x0441, 35, 32, 0}, {0x02a1, 36, 33, 0}, {0x0221, 37, 34, 0}, {0x0141, 38, 35, 0}, {0x0111, 39, 36, 0}, {0x0085, 40, 37, 0}, {0x0049, 41, 38, 0}, {0x0025, 42, 39, 0}, {0x0015, 43, 40, 0}, {0x0009, 44, 41, 0}, {0x0005, 45, 42, 0}, {0x0001, 45, 43, 0},
	{0x5601, 46, 46, 0},
}

// decision is an estimate for one sense of the more probable symbol, so that a
// state is one number: twice the index of the estimate, plus that symbol.
type decision struct {
	qe         uint32
	more, less uint8
}

// decisions has 128 entries, all that seven bits can ask for.
var decisions = func() (t [128]decision) {
	for i, e := range estimates {
		for symbol := range uint8(2) {
			t[2*i+int(symbol)] = decision{e.qe, e.more<<1 | symbol, e.less<<1 | symbol ^ e.swap}
		}
	}
	return t
}()

// Contexts, table D.1 and following: nine for significance, five for signs,
// three for refinement, and two more.
const (
	contextSign    = 9
	contextRefine  = 14
	contextRun     = 17
	contextUniform = 18
	contexts       = 19
)

// arithmetic is the MQ decoder of annex C.
type arithmetic struct {
	data  []byte
	at    int
	c, a  uint32
	ct    int
	state [contexts]uint8 // state·2 + more probable symbol
}

// reset sets the contexts to their first states, table D.7.
func (m *arithmetic) reset() {
	m.state = [contexts]uint8{0: 4 << 1, contextRun: 3 << 1, contextUniform: 46 << 1}
}

// begin starts a codeword segment, figure C.10.
func (m *arithmetic) begin(data []byte) {
	m.data, m.at = data, 0
	m.c = uint32(m.octet(0)) << 16
	m.next()
	m.c <<= 7
	m.ct -= 7
	m.a = 0x8000
}

// octet is past the end all ones, as a marker would be.
func (m *arithmetic) octet(i int) byte {
	if i < len(m.data) {
		return m.data[i]
	}
	return 0xff
}

// next takes in an octet, figure C.19.
func (m *arithmetic) next() {
	following := m.octet(m.at + 1)
	if m.octet(m.at) == 0xff {
		if following > 0x8f {
			m.c += 0xff00
			m.ct = 8
			return
		}
		m.at++
		m.c += uint32(following) << 9
		m.ct = 7
		return
	}
	m.at++
	m.c += uint32(following) << 8
	m.ct = 8
}

// decode gives one decision, figure C.15.
func (m *arithmetic) decode(context int) int {
	state := &m.state[context]
	e := &decisions[*state&127]
	symbol := int(*state & 1)
	a, c := m.a-e.qe, m.c
	switch {
	case c>>16 >= e.qe:
		c -= e.qe << 16
		if a&0x8000 != 0 {
			m.a, m.c = a, c
			return symbol
		}
		if a < e.qe {
			symbol ^= 1
			*state = e.less
		} else {
			*state = e.more
		}
	case a >= e.qe:
		symbol ^= 1
		*state = e.less
		a = e.qe
	default:
		*state = e.more
		a = e.qe
	}
	for m.a, m.c = a, c; ; { // as many shifts at once as there are bits at hand
		if m.ct == 0 {
			m.next()
		}
		n := min(bits.LeadingZeros16(uint16(m.a)), m.ct)
		m.a <<= uint(n) & 31
		m.c <<= uint(n) & 31
		m.ct -= n
		if m.a&0x8000 != 0 {
			return symbol
		}
	}
}

// rawBits reads the passes that bypass the arithmetic decoder, D.6: bits with a
// zero stuffed after an octet of ones.
type rawBits struct {
	data []byte
	at   int
	held byte
	left int
}

func (r *rawBits) bit() int {
	if r.left == 0 {
		r.left = 8
		if r.at > 0 && r.held == 0xff {
			r.left = 7
		}
		r.held = 0xff
		if r.at < len(r.data) {
			r.held = r.data[r.at]
		}
		r.at++
	}
	r.left--
	return int(r.held>>r.left) & 1
}
