package app

import (
	"context"
	"encoding/base64"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"

	"bainward/daemon/phone/calls"
	"bainward/daemon/record"
	"bainward/daemon/witness"
	"bainward/rules/alarm"
)

// witnesses are the records of other sites that this daemon watches over, and
// what others signed of this one's.
type witnesses struct {
	mu    sync.Mutex // over heard, which the broker's reader fills
	heard []testimony
	// The rest is the loop's.
	peers    map[string]witness.Peer // by site
	doubted  map[string]string       // by site: the fault that was recorded last
	cosigned map[string]int64        // by site: the newest size of ours that it signed
}

// testimony is what the broker has of a site's record, or of its signature under
// this one's.
type testimony struct {
	site     string
	document []byte
	cosigned bool
}

// OtherRecord tells what another site says of its record. It never waits.
func (a *App) OtherRecord(site string, document []byte) {
	a.witnesses.hear(testimony{site, document, false})
}

// Cosigned tells that another site signed a checkpoint of this one. It never waits.
func (a *App) Cosigned(site string, document []byte) {
	a.witnesses.hear(testimony{site, document, true})
}

func (w *witnesses) hear(t testimony) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.heard = append(w.heard, t)
	if extra := len(w.heard) - maxHeard; extra > 0 {
		w.heard = slices.Delete(w.heard, 0, extra)
	}
}

func (w *witnesses) take() []testimony {
	w.mu.Lock()
	defer w.mu.Unlock()
	return slices.Clone(w.heard)
}

// forget drops the first n testimonies, which are recorded by now.
func (w *witnesses) forget(n int) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.heard = slices.Delete(w.heard, 0, min(n, len(w.heard)))
}

// openWitnesses reads which checkpoints of others the record holds.
func (a *App) openWitnesses(ctx context.Context) error {
	w := &a.witnesses
	w.peers, w.doubted, w.cosigned = map[string]witness.Peer{}, map[string]string{}, map[string]int64{}
	entries, err := a.record.OfKind(ctx, record.KindWitness, record.KindCosignature)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if err := w.recall(e); err != nil {
			return fmt.Errorf("entry %d: %w", e.Seq, err)
		}
	}
	return nil
}

func (w *witnesses) recall(e record.Entry) error {
	if e.Kind == record.KindCosignature {
		var c record.Cosignature
		if err := e.Decode(&c); err != nil {
			return err
		}
		w.cosigned[c.Site] = c.Size
		return nil
	}
	var b record.Witness
	if err := e.Decode(&b); err != nil {
		return err
	}
	w.doubted[b.Site] = b.Fault
	if b.Fault != "" {
		return nil
	}
	root, err := base64.StdEncoding.DecodeString(b.Root)
	if err != nil {
		return err
	}
	seen := witness.Seen{Key: b.Key, Size: b.Size, Note: b.Note}
	copy(seen.Root[:], root)
	w.peers[b.Site] = witness.Peer{Seen: seen}
	return nil
}

// witness drafts what was heard of other records and of signatures under ours.
func (a *App) witness(ctx context.Context, d *draft) {
	w := &a.witnesses
	heard := w.take()
	for _, t := range heard {
		if !t.cosigned {
			a.takeOther(d, t)
		} else if err := a.takeCosigned(ctx, d, t); err != nil {
			a.opt.Logger.Warn("look at a signature under a checkpoint", "site", t.site, "error", err)
		}
	}
	if len(heard) > 0 {
		d.then(func() { w.forget(len(heard)) })
	}
}

// takeOther looks at what a site says of its record. What makes no sense is no
// proof of anything: anybody at the broker may have written it.
func (a *App) takeOther(d *draft, t testimony) {
	w := &a.witnesses
	said, err := witness.Parse(t.document)
	if err != nil {
		a.opt.Logger.Warn("look at the record of another site", "site", t.site, "error", err)
		return
	}
	before := w.peers[t.site]
	peer, err := before.Hear(said)
	rewritten := (*witness.RewrittenError)(nil)
	switch {
	case err == nil && peer == before:
	case err == nil:
		a.hold(d, t.site, peer)
	case errors.As(err, &rewritten):
		a.doubt(d, t.site, said, err, alarm.High, "has rewritten its record",
			"Ask there what happened, and keep the checkpoint that is in the record here: it shows what was.")
	case errors.Is(err, witness.ErrGap):
		// Nothing can be known of the time between; what comes now is held anew.
		a.doubt(d, t.site, said, err, alarm.Medium, "does not show that its record only grew",
			"Compare the checkpoint that is in the record here with a copy of theirs: record verify --held.")
		if fresh, err := (witness.Peer{}).Hear(said); err == nil {
			a.hold(d, t.site, fresh)
		}
	default:
		a.opt.Logger.Warn("look at the record of another site", "site", t.site, "error", err)
	}
}

// hold drafts a checkpoint that is believed, and signs it once it is recorded.
func (a *App) hold(d *draft, site string, peer witness.Peer) {
	seen := peer.Seen
	d.add("", record.Witness{Site: site, Key: seen.Key, Size: seen.Size, Root: seen.Root.String(), Note: seen.Note})
	d.then(func() {
		a.witnesses.peers[site], a.witnesses.doubted[site] = peer, ""
		a.cosign(site, seen)
	})
}

// cosign signs a checkpoint of another site and gives it to the broker.
func (a *App) cosign(site string, seen witness.Seen) {
	to, ok := a.opt.Publisher.(vouched)
	signer, held := a.record.Signer()
	if !ok || !held {
		return
	}
	text, err := witness.Cosign(seen, signer)
	if err == nil {
		var document []byte
		if document, err = (witness.Said{Note: text, Key: a.record.VerifierKey()}).Encode(); err == nil {
			to.Cosign(site, document)
			return
		}
	}
	a.opt.Logger.Warn("sign the checkpoint of another site", "site", site, "error", err)
}

// doubt drafts that a record cannot be believed, once for each reason, and calls
// somebody.
func (a *App) doubt(d *draft, site string, said witness.Said, why error, p alarm.Priority, fact, do string) {
	w := &a.witnesses
	if w.doubted[site] == why.Error() {
		return
	}
	d.add("", record.Witness{Site: site, Key: said.Key, Note: said.Note, Fault: why.Error()})
	d.happened = append(d.happened, calls.Matter{
		Subject: "record-" + strings.Join(strings.Fields(strings.ToLower(site)), "-"), Priority: p,
		Fact: site + " " + fact, Do: do,
	})
	d.then(func() { w.doubted[site] = why.Error() })
}

// takeCosigned looks at the signature of another site under a checkpoint of ours.
// Under the newest one it is recorded. An older one shows what the site holds, and
// is proven from then on; one that is not of this record shows that it is not what
// it was.
func (a *App) takeCosigned(ctx context.Context, d *draft, t testimony) error {
	w, v := &a.witnesses, &a.vouching
	said, err := witness.Parse(t.document)
	if err != nil {
		return err
	}
	if peer, known := w.peers[t.site]; known && peer.Seen.Key != said.Key {
		return errors.New("it is by another key than the site's own")
	}
	if err := witness.CheckCosigned(said.Note, said.Key); err != nil {
		return err
	}
	head, err := record.CheckpointOf(said.Note)
	if err != nil {
		return err
	}
	if head.Size > v.newest() {
		return a.cutShort(d, t.site, said, fmt.Sprintf("%d leaves are signed there, and the newest checkpoint here has %d", head.Size, v.newest()))
	}
	root, err := a.record.Root(ctx, head.Size)
	switch {
	case err != nil:
		return err
	case root != head.Root:
		return a.cutShort(d, t.site, said, fmt.Sprintf("of %d leaves the root is %s here, and %s was signed there", head.Size, root, head.Root))
	case head.Size < v.newest():
		return a.proveFrom(ctx, t.site, head.Size)
	case w.cosigned[t.site] == head.Size:
		return nil
	}
	d.add("", record.Cosignature{Site: t.site, Key: said.Key, Size: head.Size, Root: head.Root.String(), Note: said.Note})
	d.then(func() { w.cosigned[t.site] = head.Size })
	return nil
}

// proveFrom publishes the newest checkpoint again, with the proof from a size that
// another site holds.
func (a *App) proveFrom(ctx context.Context, site string, size int64) error {
	v := &a.vouching
	if slices.Contains(v.provable(), size) {
		return nil
	}
	if v.asked == nil {
		v.asked = map[string]int64{}
	}
	v.asked[site] = size
	return a.publishCheckpoint(ctx)
}

// cutShort drafts that this record is not the one that another site signed. Only
// a site that was heard of before is believed.
func (a *App) cutShort(d *draft, site string, said witness.Said, why string) error {
	if _, known := a.witnesses.peers[site]; !known {
		return errors.New("it is not of this record: " + why)
	}
	a.doubt(d, site, said, errors.New("this record is not the one that "+site+" signed: "+why), alarm.High,
		"holds a checkpoint that is not in the record here",
		"The record here was put back to an old copy, or changed. Keep this one and every copy, and verify them: record verify --held.")
	return nil
}
