// The film that is there, for all pictures of a design: its rim, its free edges, and what is cut away in between.
#pragma once

#include "svg_shapes.h"

#include "tymbal/task/report.h"

#include <ostream>
#include <string>

namespace tymbal {

/// Whether pictures of fields cut every hole out: where the model resolves them and they are few enough to draw.
[[nodiscard]] bool holes_cut_out(const DesignDrawing& drawing);

/// Definitions that the pictures of a design share, once a page: rim, openings, and the film as a clip path or, where
/// anything is cut out of it, as a mask: openings may overlap each other and cross the outline.
/// @param of  stands behind every id, to keep apart the designs of one page
void define_film(std::ostream& out, const DesignDrawing& drawing, const Frame& frame, const std::string& of = "");

/// Attribute of a group that shows nothing but film.
[[nodiscard]] std::string only_film(const DesignDrawing& drawing, const std::string& of = "");

/// Lines along the clamped rim and the free edges. Styles: `rim`, on film with openings `clamp`, `free`
/// and `cover`.
void draw_edges(std::ostream& out, const DesignDrawing& drawing, const Frame& frame, const std::string& of = "");

/// Round holes as dots of a round pen; relative moves keep a lattice of thousands short.
[[nodiscard]] std::string hole_dots(const DesignDrawing& drawing, const Frame& frame);
/// Other holes, as closed paths.
[[nodiscard]] std::string hole_polygons(const DesignDrawing& drawing, const Frame& frame);

}  // namespace tymbal
