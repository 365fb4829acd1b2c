package main

import (
	"bytes"
	"encoding/binary"

	"endpin/ui/ink"
)

// ico is the icon as Windows reads it: PNGs of several sizes behind a list of them, as
// it has been allowed since Windows Vista.
func ico() []byte {
	sides := []int{16, 24, 32, 48, 64, 128, 256}
	var list, pictures bytes.Buffer
	put := func(values ...any) {
		for _, v := range values {
			_ = binary.Write(&list, binary.LittleEndian, v) // a buffer takes it
		}
	}
	put(uint16(0), uint16(1), uint16(len(sides)))
	for _, side := range sides {
		picture := ink.IconOf(side)
		at := 6 + 16*len(sides) + pictures.Len()
		put(uint8(side), uint8(side), uint16(0), uint16(1), uint16(32), uint32(len(picture)), uint32(at)) // 0 stands for 256
		pictures.Write(picture)
	}
	return append(list.Bytes(), pictures.Bytes()...)
}

// icns is the icon as macOS reads it: PNGs, each under the name of its size.
func icns() []byte {
	var out bytes.Buffer
	for _, size := range []struct {
		name string
		side int
	}{{"ic07", 128}, {"ic08", 256}, {"ic09", 512}, {"ic10", 1024}} {
		picture := ink.IconOf(size.side)
		out.WriteString(size.name)
		_ = binary.Write(&out, binary.BigEndian, uint32(8+len(picture)))
		out.Write(picture)
	}
	return append(binary.BigEndian.AppendUint32([]byte("icns"), uint32(8+out.Len())), out.Bytes()...)
}
