package lyric

import "regexp"

var (
	// pageField begins what a page says of a song in fields.
	pageField = regexp.MustCompile(`(?i)^\W*(?:structure|form|song form|order|arrangement|road ?map|aufbau|ablauf|forma|estructura|transcription|contributor|arr|source|author|chords|chords used|tabs|difficulty|tuning|stimmung|afinación|strumming|strum|strum pattern|strumming pattern|rhythm|picking|last (?:edit|update)\w*|updated|date|version|genre|album|year|level|hits|tags?|e-?mail|subject|from|to|sent|notes?|tips?|hint|ps|p\.s\.|ccli[^:]*)\s*:`)
	// around is what pages and people write round a song (common practice, no source).
	around = regexp.MustCompile(`(?i)https?:|www\.|\S@\S+\.\w|` +
		`^\W*(?:submitted|written (?:out|down)|tabbed|transcribed|posted|typed|arranged|uploaded|contributed|corrected|chords?|tabs?|lyrics) (?:and \w+ )?(?:by|from)\b|` +
		`\s=\s|[:;]-[)(D]\s*$|^\W*(?:sent|gesendet|enviado|envoyé) (?:from|von|desde|de) m|©|\(c\) ?\d|copyright|all rights|\bpage \d+|` +
		pageField.String() + `|` +
		`^\W*(?:arr\..*|standard tuning|thanks (?:for|to)\b.*|print|download|share|rate this|views|comments?|log ?in|sign (?:up|in)|home|menu|search|back to top|favou?rites?|add to favou?rites?|report|next|previous|autoscroll|transpose|font size|advertisement|chords|tab|lyrics|(?:chords|lyrics) (?:and|&) (?:chords|lyrics|tabs?))\W*$|` +
		`^\W*[\d.,]+ (?:views|comments|votes|ratings|hits)`)
	// chrome is a line of the buttons of a page.
	chrome = regexp.MustCompile(`(?i)(?:^|[|•·>]|\s{2,})\s*(?:show chord diagrams|chord diagrams|simplify|autoscroll|auto scroll|transpose(?: [-+±\d]+)*|font size|embed|share|print|download pdf|pdf|add to favou?rites?|comments(?: \(\d+\))?|report (?:an )?error|tuner|metronome)\s*(?:$|[|•·]|\s{2,})|` +
		`^[^|]*\s[>»›]\s[^|]*\s[>»›]\s|^\W*(?:(?:embed|share|print|pdf|download|edit|report|comments?|favou?rites?|simplify|autoscroll|transpose|tweet)(?:\W+|$)){2,}$`)
	// stage is a remark on a line of its own.
	stage  = regexp.MustCompile(`^\s*\[[^\[\]]*\]\s*$`)
	rule   = regexp.MustCompile(`^[\s\d\p{P}\p{S}]+$`)
	strums = regexp.MustCompile(`^[\sDUXx↓↑.|-]*[U↑][\sDUXx↓↑.|-]*$`)
	// linked is what nobody sings.
	linked = regexp.MustCompile(`(?i)https?:|www\.|©|copyright`)
	// grip is how a chord is fingered: a name and six strings.
	grip = regexp.MustCompile(`^\s*([A-Ha-h]\S{0,8}?)\s*[:=(\[-]?\s*[(\[]?(?:[0-9xXoO][-\s]?){6}[)\]]?`)
	// tab is a string of a tablature, count the counting above it.
	tab   = regexp.MustCompile(`^\s*(?:[A-Ga-g][#b]?)?\s*[|:‖]+[^A-Z]*-{2,}[^A-Z]*$|^\s*[A-Ga-g][#b]?\s*-{3,}|^[-|\s\d/\\hpbrxX~()<>*^]*-{4,}[-|\s\d/\\hpbrxX~()<>*^]*\d[-|\s\d/\\hpbrxX~()<>*^]*$`)
	count = regexp.MustCompile(`^\s*(?:1|\|)\s*[&+e].*(?:2|3)\s*[&+e][\s\d&+ea|]*$`)
)
