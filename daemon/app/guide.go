package app

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"bainward/daemon/record"
	"bainward/daemon/web"
	"bainward/rules"
	"bainward/rules/batch/guide"
)

// guides is what the guide goes by of the whole site, folded from the record.
type guides struct {
	checks *record.Checklists
	stock  guide.Stock
}

// openGuides folds checklists and what was used of late from the record.
func (a *App) openGuides(ctx context.Context) (err error) {
	if a.guides.checks, err = a.record.Checklists(ctx); err != nil {
		return err
	}
	goods, err := a.record.Goods(ctx)
	if err != nil {
		return err
	}
	for _, e := range goods {
		if err := a.guides.takeGoods(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	return nil
}

func (g *guides) takeGoods(e record.Entry) error {
	if e.Kind == record.KindCorrection {
		var c record.Correction
		if err := e.Decode(&c); err != nil {
			return err
		}
		g.stock.Void(c.Voids)
		return nil
	}
	f, ok, err := e.Fact()
	if err == nil && ok {
		g.stock.Take(f)
	}
	return err
}

// keepGuides takes a recorded entry in.
func (a *App) keepGuides(e record.Entry) {
	err := a.guides.checks.Take(e)
	if err == nil {
		err = a.guides.takeGoods(e)
	}
	if err != nil {
		a.opt.Logger.Error("keep what the guide goes by", "entry", e.Seq, "error", err)
	}
}

// Guide leads through the batch of a bath, as it stands in the record.
func (a *App) Guide(ctx context.Context, bathName string) (guide.Guide, error) {
	b, err := a.findBath(bathName)
	if err != nil {
		return guide.Guide{}, err
	}
	in := guide.In{Called: a.phones != nil, Proven: a.proven(), Recipes: a.site().Choices()}
	oil := a.lookAt(b, &in)
	in.CoolsS = oil.until()
	if !in.Now.Phase.Lit() {
		// Without a plan there is less to offer, and all else to be led through.
		if p, err := a.planOf(b, in.Now.Recipe); err == nil {
			in.Plan = &p
		}
	}
	return guide.Of(in), nil
}

// lookAt puts down how a bath and its batch stand at one instant.
func (a *App) lookAt(b *bath, in *guide.In) cooler {
	a.mu.RLock()
	defer a.mu.RUnlock()
	in.Now = b.state.Show(b.cfg, b.frame)
	in.Now.Batch = b.batch
	in.Trail = b.past.led.trail.Clone()
	in.Stock = a.guides.stock.Clone()
	if t, ok := a.guides.checks.Waiting(b.name, b.frame.At); ok {
		in.Waiting = checksOf(t)
	}
	if t, ok := a.guides.checks.Of(b.batch); ok && b.batch != "" {
		in.Checks = checksOf(t)
	}
	if account, err := a.books.Account(b.batch); err == nil {
		in.Account = account
	}
	return b.past.led.cooler
}

func checksOf(t record.Ticked) *guide.Checks {
	c := &guide.Checks{When: t.Wall, Who: t.By, Done: map[string]bool{}}
	for _, i := range t.Items {
		c.Done[i.Key] = i.Done
	}
	return c
}

// provenToday is how long a proof spares a question. A week is enough to trust a
// way to a person; before lighting, today's is wanted (own choice, no source).
const provenToday = 24 * time.Hour

// proven says by what alarms were proven to reach somebody in the last day; empty
// if they were not.
func (a *App) proven() string {
	if a.phones == nil {
		return ""
	}
	now := a.opt.Clock.Wall()
	var last web.Proof
	for _, p := range a.Proofs() {
		if !p.Failed() && p.LastGood.After(last.LastGood) {
			last = p
		}
	}
	if last.LastGood.IsZero() || now.Sub(last.LastGood) > provenToday {
		return ""
	}
	return fmt.Sprintf("%s to %s, %s ago", last.Channel, last.Contact, rules.Minutes(max(0, now.Sub(last.LastGood))))
}

// Checklist records what somebody saw to before lighting: the keys in done, and
// all others as not done. What the daemon knows by itself it fills in.
func (a *App) Checklist(ctx context.Context, bathName string, done []string, who string) error {
	if who == "" {
		return errNobody
	}
	return a.ask(ctx, bathName, func(_ context.Context, d *draft, b *bath) error {
		c := record.Checklist{By: who}
		if b.state.Rules.Begun() {
			c.Batch = b.batch
		}
		left := slices.Clone(done)
		for _, i := range guide.Items(b.cfg.Recipe.Fresh) {
			item := record.Checked{Key: i.Key, Done: slices.Contains(done, i.Key)}
			left = slices.DeleteFunc(left, func(k string) bool { return k == i.Key })
			if proven := a.proven(); i.Key == guide.Alarms && proven != "" {
				item.Done, item.Known = true, proven
			}
			c.Items = append(c.Items, item)
		}
		if len(left) > 0 {
			return fmt.Errorf("the checklist has no item %q", left[0])
		}
		d.add(b.name, c)
		return nil
	})
}

// checklistInWords says a checklist on one line.
func checklistInWords(b record.Checklist) string {
	var undone []string
	for _, i := range b.Items {
		if !i.Done {
			undone = append(undone, i.Key)
		}
	}
	text := fmt.Sprintf("checklist before lighting: %d of %d", len(b.Items)-len(undone), len(b.Items))
	if len(undone) > 0 {
		text += "; not done: " + strings.Join(undone, ", ")
	}
	if b.By != "" {
		text += " (" + b.By + ")"
	}
	return text
}
