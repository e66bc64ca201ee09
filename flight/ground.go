package flight

import (
	"fmt"
	"time"

	"pappus/desk/papers"
	"pappus/ground/landcover"
	"pappus/ground/terrain"
	"pappus/measure/geo"
	"pappus/motion/trajectory"
)

// Land is what the person knows of the ground beside what the program carries:
// areas they have drawn, and terrain tiles.
type Land struct {
	Areas []landcover.OwnArea
	Tiles []*terrain.Tile
	Names []string // of the tiles' files
	// World takes the embedded relief where no tile reaches, instead of the
	// forecast's own surface.
	World bool
}

// mapOf lays the person's areas over the embedded map.
func (l Land) mapOf() (*landcover.Map, error) {
	world, err := landcover.World()
	if err != nil {
		return nil, fmt.Errorf("the embedded map of the ground: %w", err)
	}
	return world.With(l.Areas...), nil
}

// kinds names what the person has drawn.
func (l Land) kinds() []string {
	var kinds []string
	for _, a := range l.Areas {
		kinds = append(kinds, a.Kind)
	}
	return kinds
}

// relief lays the person's tiles, or the embedded relief, over a ground.
func (l Land) relief(below trajectory.Ground, launch geo.Point) (trajectory.Ground, error) {
	if l.World {
		world, err := terrain.LoadWorld()
		if err != nil {
			return nil, fmt.Errorf("the embedded relief: %w", err)
		}
		below = reliefGround{world.Around(launch, patchRadius)}
	}
	if len(l.Tiles) == 0 {
		return below, nil
	}
	return tiledGround{l.Tiles, below}, nil
}

// patchRadius is how far around the launch the relief is kept once worked out.
const patchRadius = 400e3

type reliefGround struct{ relief terrain.Relief }

func (g reliefGround) Elevation(at geo.Point) geo.AltMSL {
	height, _, _ := g.relief.Elevation(at)
	return height
}

// tiledGround asks the tiles first, the later ones before the earlier.
type tiledGround struct {
	tiles []*terrain.Tile
	below trajectory.Ground
}

func (g tiledGround) Elevation(at geo.Point) geo.AltMSL {
	for i := len(g.tiles) - 1; i >= 0; i-- {
		if height, known := g.tiles[i].At(at); known {
			return height
		}
	}
	return g.below.Elevation(at)
}

// Around answers what lies around a place: for the notice, and to know the site.
func Around(at geo.Point, when time.Time, l Land) (*papers.Surroundings, error) {
	land, err := l.mapOf()
	if err != nil {
		return nil, err
	}
	world, err := terrain.LoadWorld()
	if err != nil {
		return nil, fmt.Errorf("the embedded relief: %w", err)
	}
	s := papers.Around(land, terrain.NewLayers(world, l.Tiles...), at, when, landcover.NotLookedAt(l.kinds()...))
	return &s, nil
}

// Ground answers the height of the ground under a landing.
type Ground = trajectory.Ground
