// Small parts that every section of the report is made of: texts, tables, headings, picture frames.
#pragma once

#include "colour_ramp.h"

#include "../print/fact.h"

#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace tymbal {

/// A text for the page: markup signs written out, "+-", " um" and " uW" as people write them.
[[nodiscard]] std::string html(const std::string& text);

/// From the doctype to the body's beginning, with every style; `end_page` closes it.
void begin_page(std::ostream& out, const std::string& title);
void end_page(std::ostream& out, std::string_view script = {});

/// Where a page's table of contents leads, and what it says.
struct Chapter {
    std::string id, name;
};
void write_contents(std::ostream& out, const std::vector<Chapter>& chapters);

/// The chapter of warnings and cautions, with how many warnings there are.
[[nodiscard]] Chapter warnings_chapter(std::size_t warnings);

/// One figure of the line below the page's title.
void glance(std::ostream& out, const std::string& name, const std::string& value);

/// One column of a table: its heading and whether it holds numbers (set to the right).
struct Column {
    std::string heading;
    bool number = true;
    std::string link{};  ///< each cell leads to the place of this name with the cell's text behind it
};

/// A table with a caption and column headings, in a frame that scrolls by itself where the page is narrow. Rows follow
/// by `table_row`; `end_table` closes it.
void begin_table(std::ostream& out, const std::string& caption, const std::vector<Column>& columns);
void end_table(std::ostream& out);

/// The first cell heads the row. Cells are texts, not markup. @param more  attributes of the row
void table_row(std::ostream& out, const std::vector<Column>& columns, const std::vector<std::string>& cells,
               const std::string& more = "");

/// A table of two columns.
void facts(std::ostream& out, const std::string& caption, const std::vector<Fact>& rows);

void list(std::ostream& out, const std::vector<std::string>& sentences);

/// Parts of the section of warnings and cautions.
void list_warnings(std::ostream& out, const std::vector<std::string>& warnings);
void list_cautions(std::ostream& out, const std::vector<std::string>& cautions);

/// A section with a heading that the table of contents can point to.
void begin_section(std::ostream& out, const char* id, const char* heading);
void end_section(std::ostream& out);

/// Bands of the two colour maps; classes d0..d14 (displacement) and s0..s11 (size) in the style.
inline constexpr int diverging_bands = 15;
inline constexpr int sequential_bands = 12;

/// Rules for the classes of both maps, on light and dark pages and on paper.
[[nodiscard]] std::string colour_rules();

/// A colour bar with labels at some of its band borders. @param labels  one more than bands, empty: no label there
void colour_bar(std::ostream& out, char map, const std::vector<std::string>& labels, const std::string& title);

}  // namespace tymbal
