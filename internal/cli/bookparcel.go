package cli

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"filmfault/internal/casefile"
	"filmfault/internal/source"
)

// copyBuiltIn copies a built-in case into the book, to be worked on there, and
// says where it is.
func (a *app) copyBuiltIn(o opened) (*parcel, error) {
	dir, err := a.bookFolder()
	if err != nil {
		return nil, err
	}
	p := &parcel{app: a, opened: o, dir: dir, id: o.name, photos: true}
	return p, p.deliver()
}

// parcel is a case on its way into the book, with the files that it names.
type parcel struct {
	app *app
	opened
	dir, id string
	as      string // the id to write into the case, "" to leave that as it is
	photos  bool
	renamed []renamed
	made    []string // files and folders made so far, in this order
	with    []string // what came along, as named in the copy
}

// renamed is a file that goes by another name in the copy of the case.
type renamed struct {
	at source.Span // where the case names it
	to string
}

func (p *parcel) path() string { return filepath.Join(p.dir, p.id+".yaml") }

// deliver copies the files the case names and then the case itself, so that a
// case in the book is never without them. When it fails, nothing has come in.
func (p *parcel) deliver() error {
	if err := fitID(p.id); err != nil {
		return fmt.Errorf("%s: the id %q cannot name a case of the book: %w; give another with --as", p.name, p.id, err)
	}
	if err := p.free(); err != nil {
		return err
	}
	if err := p.checkNamed(); err != nil {
		return err
	}
	err := p.copyAll()
	if err != nil {
		p.takeBack()
		return err
	}
	with := ""
	if len(p.with) > 0 {
		with = ", with " + strings.Join(p.with, ", ")
	}
	fmt.Fprintf(p.app.console.Err(), "Added %s: %s%s.\n", p.id, p.path(), with)
	return nil
}

// takeBack removes what was made and was not there before; a folder that holds
// something else by now stays.
func (p *parcel) takeBack() {
	for _, name := range slices.Backward(p.made) {
		_ = os.Remove(name)
	}
}

// folder makes a folder, if it is not there.
func (p *parcel) folder(dir string) error {
	fresh := noFolder(dir)
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	if fresh {
		p.made = append(p.made, dir)
	}
	return nil
}

// free wants no case of the book to have the id.
func (p *parcel) free() error {
	old, taken, err := p.app.ownCase(p.id)
	if err != nil || !taken {
		return err
	}
	mine, err := os.Stat(p.name)
	if other, otherErr := os.Stat(old.Path()); err == nil && otherErr == nil && os.SameFile(mine, other) {
		return fmt.Errorf("%s is a case of the book already", p.name)
	}
	return p.taken(old.Path())
}

func (p *parcel) taken(path string) error {
	return fmt.Errorf("%s: the id %s is taken in the book, by %s, which was left as it is; give this case another with --as ID", p.name, p.id, path)
}

// named is a file that a case names: where its name is kept and stands, and the
// folder of the book for its kind.
type named struct {
	what, folder string
	name         *string
	span         source.Span
}

// needed lists the files without which the case's log cannot be worked out.
func (p *parcel) needed() []named {
	l := &p.c.Log
	return []named{
		{"file of the logger", "logs", &l.Logger.File, l.Logger.SpanOf("file")},
		{"file of the shop", "shops", &l.Shop, l.SpanOf("shop")},
	}
}

func (p *parcel) pictures() []named {
	var out []named
	for i := range p.c.Photos {
		x := &p.c.Photos[i]
		out = append(out, named{"photograph", "photos", &x.File, x.SpanOf("file")})
	}
	return out
}

// checkNamed wants the files that the case names to be there; of a photograph
// that is not to be copied it only warns.
func (p *parcel) checkNamed() error {
	var problems source.List
	for _, n := range p.needed() {
		p.check(n, problems.Error)
	}
	tell := problems.Warn
	if p.photos {
		tell = problems.Error
	}
	for _, n := range p.pictures() {
		p.check(n, tell)
	}
	if len(problems) > 0 {
		p.app.complain(problems, map[string][]byte{fileOf(p.opened): p.data})
	}
	if problems.HasErrors() {
		return errTold
	}
	return nil
}

func (p *parcel) check(n named, tell func(source.Span, string, string, string)) {
	if *n.name == "" {
		return
	}
	f, err := p.app.beside(p.opened)(*n.name)
	if err != nil {
		tell(n.span, "no-file", fmt.Sprintf("the %s, %s, cannot be read: %v%s", n.what, *n.name, reason(err), p.ofBuiltIn()), "the name of the file as seen from the case's folder, or nothing")
		return
	}
	defer f.Close()
	if s, ok := f.(fs.File); ok {
		if info, err := s.Stat(); err == nil && info.IsDir() {
			tell(n.span, "no-file", fmt.Sprintf("%s is a folder and no %s", *n.name, n.what), "the name of one file")
		}
	}
}

// ofBuiltIn says how a built-in case comes with its files, to who printed one
// into a file without them.
func (p *parcel) ofBuiltIn() string {
	if p.store == nil || !slices.Contains(bookIDs(), p.c.ID) {
		return ""
	}
	return fmt.Sprintf("; `filmfault casebook edit %s` brings the built-in case along with its files", p.c.ID)
}

// copyAll writes everything, the case last.
func (p *parcel) copyAll() error {
	if err := p.folder(p.dir); err != nil {
		return fmt.Errorf("the folder of your cases, %s, cannot be made: %w", p.dir, reason(err))
	}
	along := p.needed()
	if p.photos {
		along = append(along, p.pictures()...)
	} else {
		p.pointAtPictures()
	}
	for _, n := range along {
		if err := p.carry(n); err != nil {
			return err
		}
	}
	text, err := p.text()
	if err != nil {
		return fmt.Errorf("%s: %w", p.name, err)
	}
	err = casefile.CreateFile(p.path(), text, p.mode())
	if errors.Is(err, fs.ErrExist) {
		return p.taken(p.path())
	}
	if err == nil {
		p.made = append(p.made, p.path())
	}
	return err
}

// mode is that of the file that is added, so that a private case stays private,
// but one that can be written to.
func (p *parcel) mode() fs.FileMode {
	if p.store == nil {
		return 0
	}
	info, err := os.Stat(p.store.Path)
	if err != nil {
		return 0
	}
	return info.Mode().Perm() | 0o200
}

// pointAtPictures names the photographs that stay where they are in full, since
// the copy stands in another folder.
func (p *parcel) pointAtPictures() {
	for _, n := range p.pictures() {
		if *n.name == "" || filepath.IsAbs(*n.name) {
			continue
		}
		full, err := filepath.Abs(filepath.Join(filepath.Dir(p.store.Path), filepath.FromSlash(*n.name)))
		if err != nil {
			continue
		}
		if _, err := os.Stat(full); err == nil {
			p.rename(n, full)
		}
	}
}

// rename has the copy of the case name a file by another name.
func (p *parcel) rename(n named, to string) {
	if to != *n.name {
		p.renamed = append(p.renamed, renamed{n.span, to})
		*n.name = to
	}
}

// text is the copy of the case: the original to the letter, but for the names of
// files that go by other names and the id.
func (p *parcel) text() ([]byte, error) {
	text, c := p.data, p.c
	if len(p.renamed) > 0 {
		text = rewritten(p.data, p.renamed)
		back, diags, err := casefile.Parse(p.path(), text)
		if err == nil && !diags.HasErrors() && slices.Equal(namesIn(back), namesIn(p.c)) {
			c = back
		} else if text, err = p.c.Bytes(); err != nil { // a name in some odd form
			return nil, err
		}
	}
	if p.as == "" || p.as == c.ID {
		return text, nil
	}
	c.ID = p.as
	return c.Bytes()
}

func namesIn(c *casefile.Case) []string {
	out := []string{c.Log.Logger.File, c.Log.Shop}
	for _, x := range c.Photos {
		out = append(out, x.File)
	}
	return out
}

// rewritten puts other names where a text names files, and leaves the rest to
// the letter, comments and all.
func rewritten(data []byte, names []renamed) []byte {
	lines := strings.Split(string(data), "\n")
	names = slices.Clone(names)
	// From the end, so that what stands before keeps its place.
	slices.SortFunc(names, func(a, b renamed) int { return cmp.Compare(b.at.Start.Column, a.at.Start.Column) })
	for _, n := range names {
		row, from, to := n.at.Start.Line-1, n.at.Start.Column-1, n.at.End.Column-1
		if row < 0 || row >= len(lines) {
			continue
		}
		if line := []rune(lines[row]); from >= 0 && from <= to && to <= len(line) {
			lines[row] = string(line[:from]) + strconv.Quote(n.to) + string(line[to:])
		}
	}
	return []byte(strings.Join(lines, "\n"))
}

// carryNames is how many names are tried for a file that comes along.
const carryNames = 1000

// carry copies a file that the case names. Where the book has another file of
// that name, this one gets a name of its own, and the copy of the case says so.
func (p *parcel) carry(n named) error {
	if *n.name == "" {
		return nil
	}
	f, err := p.app.beside(p.opened)(*n.name)
	if err != nil {
		return fmt.Errorf("the %s cannot be copied: %w", n.what, err)
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		return fmt.Errorf("the %s cannot be copied: %w", n.what, err)
	}
	for i := range carryNames {
		to := n.candidate(p.id, i)
		ok, err := p.put(to, data)
		if err != nil {
			return fmt.Errorf("the %s cannot be copied: %w", n.what, err)
		}
		if ok {
			p.rename(n, to)
			p.with = append(p.with, to)
			return nil
		}
	}
	return fmt.Errorf("the book has no free name for the %s %s", n.what, *n.name)
}

// candidate is the i-th name to try, as the copy of the case writes it.
func (n named) candidate(id string, i int) string {
	name := path.Clean(filepath.ToSlash(*n.name))
	base := path.Base(name)
	switch {
	case i == 0 && filepath.IsLocal(name) && strings.HasPrefix(name, n.folder+"/"):
		return name
	case i == 0:
		return path.Join(n.folder, base)
	case i == 1:
		return path.Join(n.folder, id+"-"+base)
	}
	return path.Join(n.folder, fmt.Sprintf("%s-%d-%s", id, i, base))
}

// put writes a file of the book, or finds it there with the same bytes; false
// when another file has the name.
func (p *parcel) put(name string, data []byte) (bool, error) {
	full := filepath.Join(p.dir, filepath.FromSlash(name))
	if err := p.folder(filepath.Dir(full)); err != nil {
		return false, err
	}
	err := casefile.CreateFile(full, data, 0)
	switch {
	case err == nil:
		p.made = append(p.made, full)
		return true, nil
	case errors.Is(err, fs.ErrExist):
		old, err := os.ReadFile(full)
		return err == nil && bytes.Equal(old, data), nil
	}
	return false, err
}
