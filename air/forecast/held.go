package forecast

import "strings"

// String says where a value was held. Several edges are joined.
func (h Held) String() string {
	var names []string
	for _, edge := range heldEdges {
		if h&edge != 0 {
			names = append(names, edge.name())
		}
	}
	return strings.Join(names, ", ")
}

func (h Held) name() string {
	switch h {
	case AboveTop:
		return "wind above the top level"
	case BelowBottom:
		return "wind below the lowest level"
	case BeforeFirst:
		return "sky before the first step"
	case AfterLast:
		return "sky after the last step"
	}
	return "sky outside the area"
}
