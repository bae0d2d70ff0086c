package term

import "strings"

// largeRows is the height of large letters.
const largeRows = 5

// largeGlyphs are the signs of chord symbols and the digits of the count-in.
// A small b is drawn as the flat that it stands for.
var largeGlyphs = map[rune]string{
	'A': `
▄████▄
██  ██
██████
██  ██
██  ██`,
	'B': `
█████▄
██  ██
█████▄
██  ██
█████▀`,
	'C': `
▄████▄
██  ▀▀
██    
██  ▄▄
▀████▀`,
	'D': `
█████▄
██  ██
██  ██
██  ██
█████▀`,
	'E': `
██████
██    
█████ 
██    
██████`,
	'F': `
██████
██    
█████ 
██    
██    `,
	'G': `
▄████▄
██  ▀▀
██ ▄▄▄
██  ██
▀████▀`,
	'N': `
██▄  ██
███▄ ██
██▀█▄██
██ ▀███
██  ▀██`,
	'M': `
██▄ ▄██
███████
██▀█▀██
██   ██
██   ██`,
	'0': `
▄████▄
██  ██
██  ██
██  ██
▀████▀`,
	'1': `
 ▄██  
▀▀██  
  ██  
  ██  
██████`,
	'2': `
▄████▄
▀▀  ██
  ▄██▀
▄██▀  
██████`,
	'3': `
▄████▄
▀▀  ██
  ███▄
▄▄  ██
▀████▀`,
	'4': `
██  ██
██  ██
▀█████
    ██
    ██`,
	'5': `
██████
██    
█████▄
▄▄  ██
▀████▀`,
	'6': `
▄████▄
██    
█████▄
██  ██
▀████▀`,
	'7': `
██████
   ▄██
  ▄██▀
 ▄██▀ 
 ██▀  `,
	'8': `
▄████▄
██  ██
▄████▄
██  ██
▀████▀`,
	'9': `
▄████▄
██  ██
▀█████
    ██
▀████▀`,
	'#': `
 ██ ██ 
███████
 ██ ██ 
███████
 ██ ██ `,
	'b': `
██    
██    
██▄██▄
██ ▄█▀
███▀  `,
	'm': `
        
▄▄▄▄▄▄▄ 
██▀██▀██
██ ██ ██
██ ██ ██`,
	'a': `
      
▄▄▄▄▄ 
 ▄▄▄██
██▀▀██
▀█████`,
	'j': `
  ██
  ▄▄
  ██
  ██
▀██▀`,
	'd': `
    ██
▄▄▄▄██
██▀▀██
██  ██
▀█████`,
	'i': `
██
▄▄
██
██
██`,
	'n': `
      
▄▄▄▄▄ 
██▀▀██
██  ██
██  ██`,
	'o': `
      
▄▄▄▄▄▄
██  ██
██  ██
▀████▀`,
	's': `
      
▄▄▄▄▄▄
██▄▄▄ 
 ▀▀▀██
█████▀`,
	'u': `
      
▄▄  ▄▄
██  ██
██  ██
▀█████`,
	'g': `
      
▄▄▄▄▄▄
██▄▄██
▀▀▀▀██
▀████▀`,
	'/': `
   ▄█
  ▄█▀
 ▄█▀ 
▄█▀  
█▀   `,
	'(': `
 ▄█
▄█▀
██ 
▀█▄
 ▀█`,
	')': `
█▄ 
▀█▄
 ██
▄█▀
█▀ `,
	'+': `
      
  ██  
██████
  ██  
      `,
	'-': `
     
     
█████
     
     `,
	'°': `
▄██▄
█  █
▀██▀
    
    `,
	'ø': `
      
▄▄▄▄█▀
██▄▀██
██▀▄██
▄█▀▀▀ `,
	'Δ': `
   ▄▄   
  ▄██▄  
 ▄█▀▀█▄ 
▄█▀  ▀█▄
████████`,
	'.': `
  
  
  
  
▄▄`,
	'?': `
▄████▄
▀▀  ██
  ▄██▀
  ▀▀  
  ██  `,
	' ': `
   
   
   
   
   `,
}

var largeAlias = strings.NewReplacer("♯", "#", "♭", "b", "△", "Δ", "–", "-")

// large draws s in large letters. ok is false where a sign has no picture.
func (c *canvas) large(s string) (rows []string, ok bool) {
	rows = make([]string, largeRows)
	for i, r := range []rune(largeAlias.Replace(c.clean(s))) {
		glyph, found := largeGlyphs[r]
		if !found {
			return nil, false
		}
		for j, line := range strings.Split(glyph[1:], "\n") {
			if i > 0 {
				rows[j] += " "
			}
			rows[j] += line
		}
	}
	if !c.style.Unicode {
		for j := range rows {
			rows[j] = asciiBlocks.Replace(rows[j])
		}
	}
	return rows, true
}

// asciiBlocks stand for full, lower half and upper half blocks.
var asciiBlocks = strings.NewReplacer("█", "#", "▄", ".", "▀", "'")

// huge is large letters twice the size: each half block becomes two full ones.
func (c *canvas) huge(s string) (rows []string, ok bool) {
	rows, ok = c.large(s)
	if !ok || !c.style.Unicode {
		return nil, false
	}
	doubled := make([]string, 0, 2*largeRows)
	for _, row := range rows {
		doubled = append(doubled, upperHalf.Replace(row), lowerHalf.Replace(row))
	}
	return doubled, true
}

var (
	upperHalf = strings.NewReplacer("█", "██", "▀", "██", "▄", "  ", " ", "  ")
	lowerHalf = strings.NewReplacer("█", "██", "▀", "  ", "▄", "██", " ", "  ")
)
