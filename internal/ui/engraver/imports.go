package engraver

import (
	"bytes"
	"context"
	"encoding/binary"

	"github.com/tetratelabs/wazero"
	"github.com/tetratelabs/wazero/api"
	"github.com/tetratelabs/wazero/sys"
)

// system is what the module finds around it: the files that it brings along, and
// nothing else. It has no clock, and chance gives always the same.
type system struct {
	files map[string]block
	open  map[uint32]*opened
	next  uint32
}

// block is a piece of the module's memory.
type block struct{ at, size uint32 }

// opened is a file that is being read.
type opened struct {
	block
	read uint32
}

// Error numbers of the module's system library.
const (
	noEntry     = -44
	badFile     = 8
	invalid     = -28
	notTerminal = -59
)

// provide gives the module what it imports, by the letters of its build.
func provide(ctx context.Context, r wazero.Runtime) error {
	s := &system{files: map[string]block{}, open: map[uint32]*opened{}, next: 3}
	b := r.NewHostModuleBuilder("a")
	for name, f := range map[string]any{
		"a": func(int32, int32, int32) int32 { return 0 }, // a line for a browser's console
		"b": s.close,
		"c": func(context.Context, api.Module, int32, int32, int32, int32) { panic(sys.NewExitError(1)) }, // a broken assertion
		"d": func(int32, int32, int32) int32 { return 0 },                                                 // properties of a file
		"e": s.openAt,
		"f": s.write,
		"g": s.seek,
		"h": func(int32, int32, int32) int32 { return notTerminal },
		"i": func(code int32) { panic(sys.NewExitError(uint32(code))) },
		"j": func() float64 { return 0 }, // the clock
		"k": random,
		"l": func() { panic(sys.NewExitError(1)) },
		"m": func(int32, int32, int32) int32 { return invalid }, // a folder's list
		"n": localTime,
		"o": func(int32) int64 { return 0 },
		"p": func(int32, int32) int32 { return 0 }, // environment: empty
		"q": emptyEnvironment,
		"r": timeZone,
		"s": s.readInto,
		"t": grow,
		"u": s.embedded,
	} {
		b.NewFunctionBuilder().WithFunc(f).Export(name)
	}
	_, err := b.Instantiate(ctx)
	return err
}

// textAt is the text up to the next zero byte.
func textAt(m api.Memory, at uint32) string {
	rest, ok := m.Read(at, m.Size()-at)
	if !ok {
		return ""
	}
	if n := bytes.IndexByte(rest, 0); n >= 0 {
		return string(rest[:n])
	}
	return ""
}

// embedded takes the list of the files that the module brings along: name, length
// and place of each, up to a name that is 0.
func (s *system) embedded(_ context.Context, m api.Module, list uint32) {
	mem := m.Memory()
	for ; ; list += 12 {
		name, _ := mem.ReadUint32Le(list)
		size, _ := mem.ReadUint32Le(list + 4)
		at, ok := mem.ReadUint32Le(list + 8)
		if !ok || name == 0 {
			return
		}
		s.files[textAt(mem, name)] = block{at, size}
	}
}

func (s *system) openAt(_ context.Context, m api.Module, _, path, _, _ uint32) int32 {
	f, ok := s.files[textAt(m.Memory(), path)]
	if !ok {
		return noEntry
	}
	fd := s.next
	s.next++
	s.open[fd] = &opened{block: f}
	return int32(fd)
}

func (s *system) close(fd uint32) int32 {
	delete(s.open, fd)
	return 0
}

// vectors calls f for each of the pieces of memory that a list names.
func vectors(mem api.Memory, list, n uint32, f func(at, size uint32)) {
	for ; n > 0; n-- {
		at, _ := mem.ReadUint32Le(list)
		size, _ := mem.ReadUint32Le(list + 4)
		f(at, size)
		list += 8
	}
}

func (s *system) readInto(_ context.Context, m api.Module, fd, list, n, count uint32) int32 {
	f := s.open[fd]
	if f == nil {
		return badFile
	}
	mem := m.Memory()
	sum := uint32(0)
	vectors(mem, list, n, func(at, size uint32) {
		size = min(size, f.size-f.read)
		piece, _ := mem.Read(f.at+f.read, size)
		mem.Write(at, piece)
		f.read += size
		sum += size
	})
	mem.WriteUint32Le(count, sum)
	return 0
}

// write takes what is written to the terminal, and drops it: the module's log has
// it, too.
func (s *system) write(_ context.Context, m api.Module, _, list, n, count uint32) int32 {
	sum := uint32(0)
	vectors(m.Memory(), list, n, func(_, size uint32) { sum += size })
	m.Memory().WriteUint32Le(count, sum)
	return 0
}

func (s *system) seek(_ context.Context, m api.Module, fd uint32, offset int64, whence, to uint32) int32 {
	f := s.open[fd]
	if f == nil {
		return badFile
	}
	at := offset + [3]int64{0, int64(f.read), int64(f.size)}[whence%3]
	if at < 0 || at > int64(f.size) {
		return -invalid
	}
	f.read = uint32(at)
	m.Memory().WriteUint64Le(to, uint64(at))
	return 0
}

// random fills memory with the same numbers every time.
func random(_ context.Context, m api.Module, at, size uint32) int32 {
	state := uint64(1)
	for i := range size {
		state = state*6364136223846793005 + 1442695040888963407
		m.Memory().WriteByte(at+i, byte(state>>56))
	}
	return 0
}

// localTime is the beginning of 1970.
func localTime(_ context.Context, m api.Module, _ int64, at uint32) int32 {
	var tm [40]byte
	binary.LittleEndian.PutUint32(tm[12:], 1)  // day of the month
	binary.LittleEndian.PutUint32(tm[20:], 70) // year
	binary.LittleEndian.PutUint32(tm[24:], 4)  // a Thursday
	m.Memory().Write(at, tm[:])
	return 0
}

func timeZone(_ context.Context, m api.Module, offset, summer, standard, daylight uint32) {
	mem := m.Memory()
	mem.WriteUint32Le(offset, 0)
	mem.WriteUint32Le(summer, 0)
	mem.WriteString(standard, "UTC\x00")
	mem.WriteString(daylight, "UTC\x00")
}

func emptyEnvironment(_ context.Context, m api.Module, count, size uint32) int32 {
	m.Memory().WriteUint32Le(count, 0)
	m.Memory().WriteUint32Le(size, 0)
	return 0
}

// grow gives the module more memory, if there is any.
func grow(_ context.Context, m api.Module, size uint32) int32 {
	const page = 1 << 16
	mem := m.Memory()
	more := (uint64(size)+page-1)/page - uint64(mem.Size())/page
	if uint64(size) <= uint64(mem.Size()) {
		more = 0
	}
	if _, ok := mem.Grow(uint32(more)); !ok {
		return 0
	}
	return 1
}
