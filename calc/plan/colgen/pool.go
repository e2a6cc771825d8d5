package colgen

import "encoding/binary"

// pool holds every pattern met, each once.
type pool struct {
	patterns []Pattern
	ids      map[string]int32
	key      []byte
}

// add returns the number of a pattern in the pool.
func (p *pool) add(kind int, pieces []Piece) int32 {
	p.key = binary.AppendUvarint(p.key[:0], uint64(kind))
	for _, pc := range pieces {
		p.key = binary.AppendUvarint(p.key, uint64(pc.Item))
		p.key = binary.AppendUvarint(p.key, uint64(pc.Count))
	}
	if id, ok := p.ids[string(p.key)]; ok {
		return id
	}
	if p.ids == nil {
		p.ids = map[string]int32{}
	}
	id := int32(len(p.patterns))
	p.ids[string(p.key)] = id
	p.patterns = append(p.patterns, Pattern{kind, pieces})
	return id
}
