package main

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"golang.org/x/term"

	"bainward/daemon/people"
	"bainward/daemon/site"
)

// peopleCommand is about who may sign in to the pages. Names and roles stand in the
// site file; here are their passwords. A daemon that runs notices at once.
type peopleCommand struct {
	List        peopleList        `cmd:"" help:"List who may sign in, and who has a password."`
	SetPassword peopleSetPassword `cmd:"" help:"Give a person a password; it is asked for twice, or read as one line from standard input."`
	Forget      peopleForget      `cmd:"" help:"Take the password of a person away, and end their sessions."`
	SignOut     peopleSignOut     `cmd:"" name:"sign-out" help:"End every session of a person."`
}

// peoplePlace says whose people.
type peoplePlace struct {
	Site   string `required:"" placeholder:"FILE" help:"The site file."`
	Record string `placeholder:"DIR" help:"Folder of the record, in place of the site file's."`
}

func (c *peoplePlace) open() (*site.Site, people.Book, error) {
	s, err := site.Load(c.Site)
	if err != nil {
		return nil, people.Book{}, err
	}
	if len(s.People) == 0 {
		return nil, people.Book{}, fmt.Errorf("look for people: %s names nobody who signs in: add [[person]] with name and role", c.Site)
	}
	dir := c.Record
	if dir == "" {
		dir = s.RecordFolder(os.Getenv("STATE_DIRECTORY"))
	}
	if s.Door.PeopleFile == "" {
		if info, err := os.Stat(dir); err != nil || !info.IsDir() {
			return nil, people.Book{}, fmt.Errorf("look for the passwords: no folder %s: give that of the record with --record, or start the daemon once", dir)
		}
	}
	return s, people.OpenBook(s.Door.PeopleFile, dir).As(people.OnCommandLine(whoAsks())), nil
}

// find returns the name as the site file writes it.
func (c *peoplePlace) find(name string) (string, people.Book, error) {
	s, book, err := c.open()
	if err != nil {
		return "", book, err
	}
	var all []string
	for _, p := range s.People {
		if strings.EqualFold(p.Name, strings.TrimSpace(name)) {
			return p.Name, book, nil
		}
		all = append(all, p.Name)
	}
	return "", book, fmt.Errorf("find %q: no [[person]] of %s is called so; there are %s", name, c.Site, strings.Join(all, ", "))
}

type peopleList struct {
	peoplePlace `embed:""`
}

// Run prints a line a person.
func (c *peopleList) Run(out io.Writer) error {
	s, book, err := c.open()
	if err != nil {
		return err
	}
	since, err := book.Passwords()
	if err != nil {
		return err
	}
	for _, p := range s.People {
		says := "no password: cannot come in"
		if set, ok := since[p.Name]; ok {
			says = "password set on " + set.Local().Format("2006-01-02")
		}
		delete(since, p.Name)
		if _, err := fmt.Fprintf(out, "%-20s  %-7s  %s\n", p.Name, p.Role, says); err != nil {
			return err
		}
	}
	for name := range since {
		if _, err := fmt.Fprintf(out, "%-20s  %-7s  has a password and is not in the site file: cannot come in\n", name, "-"); err != nil {
			return err
		}
	}
	return nil
}

type peopleSetPassword struct {
	peoplePlace `embed:""`
	Name        string `arg:"" help:"The person, as the site file names them."`
}

// Run asks for a password and keeps its hash.
func (c *peopleSetPassword) Run(ctx context.Context, out io.Writer) error {
	name, book, err := c.find(c.Name)
	if err != nil {
		return err
	}
	password, err := askPassword(ctx, name, out)
	if err != nil {
		return fmt.Errorf("read a password for %s: %w", name, err)
	}
	if err := book.SetPassword(name, password, time.Now()); err != nil {
		return fmt.Errorf("set the password of %s: %w", name, err)
	}
	_, err = fmt.Fprintf(out, "%s has a new password, and is signed out everywhere.\n", name)
	return err
}

// askPassword reads a password twice from a terminal, which does not show it, or one
// line of whatever else standard input is.
func askPassword(ctx context.Context, name string, out io.Writer) (string, error) {
	in := int(os.Stdin.Fd())
	if !term.IsTerminal(in) {
		line, err := bufio.NewReader(io.LimitReader(os.Stdin, 1024)).ReadString('\n')
		if err != nil && (!errors.Is(err, io.EOF) || line == "") {
			return "", errors.New("standard input holds no line")
		}
		return strings.TrimRight(line, "\r\n"), nil
	}
	ask := func(words string) (string, error) {
		fmt.Fprint(out, words)
		text, err := readUnseen(ctx, in)
		fmt.Fprintln(out)
		return text, err
	}
	first, err := ask("New password of " + name + ": ")
	if err != nil {
		return "", err
	}
	if err := people.CheckPassword(name, first); err != nil {
		return "", err
	}
	second, err := ask("Once more: ")
	if err != nil {
		return "", err
	}
	if first != second {
		return "", errors.New("the two are not the same; nothing was changed")
	}
	return first, nil
}

// readUnseen reads a line that the terminal does not show. Ctrl-C ends the wait, and
// leaves the terminal as it was; the read itself ends with the program.
func readUnseen(ctx context.Context, in int) (string, error) {
	before, err := term.GetState(in)
	if err != nil {
		return "", err
	}
	type answer struct {
		text []byte
		err  error
	}
	read := make(chan answer, 1)
	go func() {
		text, err := term.ReadPassword(in)
		read <- answer{text, err}
	}()
	select {
	case a := <-read:
		return string(a.text), a.err
	case <-ctx.Done():
		return "", errors.Join(errNotChanged, term.Restore(in, before))
	}
}

var errNotChanged = errors.New("given up; nothing was changed")

type peopleForget struct {
	peoplePlace `embed:""`
	Name        string `arg:"" help:"The person; one who left the site file too."`
}

// Run takes a password away. The person need not be in the site file any more.
func (c *peopleForget) Run(out io.Writer) error {
	_, book, err := c.open()
	if err != nil {
		return err
	}
	if err := book.Forget(c.Name, time.Now()); err != nil {
		return fmt.Errorf("forget %s: %w", c.Name, err)
	}
	_, err = fmt.Fprintf(out, "%s has no password any more, and is signed out everywhere.\n", c.Name)
	return err
}

type peopleSignOut struct {
	peoplePlace `embed:""`
	Name        string `arg:"" help:"The person, as the site file names them."`
}

// Run ends every session of a person.
func (c *peopleSignOut) Run(out io.Writer) error {
	name, book, err := c.find(c.Name)
	if err != nil {
		return err
	}
	if err := book.SignOut(name, time.Now()); err != nil {
		return fmt.Errorf("sign %s out: %w", name, err)
	}
	_, err = fmt.Fprintf(out, "%s is signed out everywhere.\n", name)
	return err
}
