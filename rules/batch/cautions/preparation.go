package cautions

import (
	"fmt"

	"bainward/rules/batch/larder"
)

// OfOils returns what is to be known of a base oil: nothing for one that few
// people are allergic to.
func OfOils(name string) []Caution {
	o := larder.FindOil(name)
	if !o.Known {
		return []Caution{{
			Kind: OfOil, About: o.Name, Text: fmt.Sprintf("Nothing is known here about the oil %q: find out what it is pressed from before anybody uses it.", o.Name),
			Source: "no entry",
		}}
	}
	if o.Allergen == "" {
		return nil
	}
	return []Caution{{
		Kind: OfOil, About: o.Botanical,
		Text:   fmt.Sprintf("The base oil can harm people who are allergic to %s.", o.Allergen),
		Short:  fmt.Sprintf("Contains %s oil.", o.Name),
		Source: "allergens of Regulation (EU) No 1169/2011, annex II (from memory)",
	}}
}

func ofPreparation(p Preparation) []Caution {
	const done = "hot macerated oil"
	all := []Caution{
		{Kind: OfPreparation, About: done, Short: "For the skin. Not for eating.",
			Text:   "For the skin, not for eating. A water bath does not sterilise: spores of Clostridium botulinum live through 100 °C (212 °F) and die only after some 3 min at 121 °C (250 °F).",
			Source: "spores: from memory, 97 % sure; herbs in oil: Oklahoma State University Extension"},
		{Kind: OfPreparation, About: done, Short: "Not on hot, inflamed, weeping or broken skin, nor on burns.",
			Text:   "Not on hot, inflamed, weeping or broken skin. Never on a fresh burn: oil holds the heat in.",
			Source: "from memory, 95 % sure"},
		{Kind: OfPreparation, About: done, Short: "Try a small spot first.",
			Text:   "Try it first: a little on the inside of the forearm, and wait 24 to 48 hours. Leave it if the skin itches, reddens or swells.",
			Source: "from memory, 95 % sure"},
		{Kind: OfPreparation, About: done, Short: "Cool and dark. Throw away if rancid.",
			Text:   "Keep it cool and dark in full bottles. Throw it away when it smells rancid.",
			Source: "common practice, no source"},
		{Kind: OfPreparation, About: "hot oil",
			Text:   "Hot oil clings and burns: carry the dish with gloves and with the heat off, and let nobody touch it before it is under 43 °C (109 °F). Never water on burning oil: lid on, heat off, leave it.",
			Source: "43 °C: ISO 13732-1, skin in long contact (from memory); steam: IAPWS-IF97, 1 l of water makes 1600 l"},
	}
	if p.Fresh {
		all = append(all, Caution{Kind: OfPreparation, About: "fresh herb",
			Text:   "Fresh herb brings water into oil, and water without air lets Clostridium botulinum grow. Macerate until nothing bubbles, let it settle, pour off every drop, and look again after a day.",
			Source: "Oklahoma State University Extension; University of Idaho 2013; University of Maine Cooperative Extension (dried herbs do not support it)"})
	}
	if p.WaterLeft {
		all = append(all, Caution{Kind: OfPreparation, About: "water left in the oil", Stop: true, Short: "Refrigerate. Use within 4 days.",
			Text:   "Water is left in this oil. It spoils and can grow Clostridium botulinum, whose poison has no smell: never for eating. Settle and pour it off again, or keep it in the refrigerator and use it up within 4 days. As a measure, virgin olive oil may hold 0.2 %, 1 g in 500 g.",
			Source: "2 to 4 days: Oklahoma State University Extension; 4 at most: University of Idaho 2013; 0.2 %: Codex STAN 33 (from memory)"})
	}
	return all
}

func ofLaw() []Caution {
	const about = "giving it away or selling it"
	return []Caution{
		{Kind: OfLaw, About: about,
			Text:   "If you sell it, or give it away as part of a trade, the cosmetics or the medicines law of your country holds: who is responsible, safety assessment, notification, label. A claim to heal makes it a medicine. This is not legal advice: ask your authority.",
			Source: "in the EU: Regulation (EC) No 1223/2009, articles 4, 10, 13, 19 (from memory)"},
		{Kind: OfLaw, About: about,
			Text:   "In the EU a product's file is kept for 10 years after the last batch.",
			Source: "Regulation (EC) No 1223/2009, article 11 (from memory)"},
	}
}
