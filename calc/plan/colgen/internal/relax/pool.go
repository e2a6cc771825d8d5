package relax

import (
	"encoding/binary"

	"resawd/calc/plan/colgen"
)

// Pool holds every pattern met, each once.
type Pool struct {
	Patterns []colgen.Pattern
	ids      map[string]int32
	key      []byte
}

// Add returns the number of a pattern in the pool.
func (p *Pool) Add(kind int, pieces []colgen.Piece) int32 {
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
	id := int32(len(p.Patterns))
	p.ids[string(p.key)] = id
	p.Patterns = append(p.Patterns, colgen.Pattern{Kind: kind, Pieces: pieces})
	return id
}
