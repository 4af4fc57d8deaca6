#include "tymbal/pattern/marks.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>
#include <utility>

namespace tymbal {

namespace {

constexpr int glyph_columns = 5;
constexpr int glyph_advance = 6;

struct Glyph {
    char letter;
    std::string_view rows;  ///< seven rows of five squares from the top, # is drawn
};

constexpr std::array<Glyph, 46> glyphs{{
    {'0', " ### #  ### # ## # ## # ###  # ### "}, {'1', "  #   ##    #    #    #    #   ### "},
    {'2', " ### #   #    #  ##  #   #    #####"}, {'3', "####     #    # ###     #    ##### "},
    {'4', "#   ##   ##   ######    #    #    #"}, {'5', "######    ####     #    ##   # ### "},
    {'6', " ### #    #    #### #   ##   # ### "}, {'7', "#####    #   #   #   #    #    #   "},
    {'8', " ### #   ##   # ### #   ##   # ### "}, {'9', " ### #   ##   # ####    #    # ### "},
    {'A', " ### #   ##   #######   ##   ##   #"}, {'B', "#### #   ##   ##### #   ##   ##### "},
    {'C', " #####    #    #    #    #     ####"}, {'D', "#### #   ##   ##   ##   ##   ##### "},
    {'E', "######    #    #### #    #    #####"}, {'F', "######    #    #### #    #    #    "},
    {'G', " #####    #    #  ###   ##   # ####"}, {'H', "#   ##   ##   #######   ##   ##   #"},
    {'I', " ###   #    #    #    #    #   ### "}, {'J', "  ###    #    #    #    ##   # ### "},
    {'K', "#   ##  # # #  ##   # #  #  # #   #"}, {'L', "#    #    #    #    #    #    #####"},
    {'M', "#   ### ### # ##   ##   ##   ##   #"}, {'N', "#   ###  ## # ##  ###   ##   ##   #"},
    {'O', " ### #   ##   ##   ##   ##   # ### "}, {'P', "#### #   ##   ##### #    #    #    "},
    {'Q', " ### #   ##   ##   ## # ##  #  ## #"}, {'R', "#### #   ##   ##### # #  #  # #   #"},
    {'S', " #####    #     ###     #    ##### "}, {'T', "#####  #    #    #    #    #    #  "},
    {'U', "#   ##   ##   ##   ##   ##   # ### "}, {'V', "#   ##   ##   ##   ##   # # #   #  "},
    {'W', "#   ##   ##   ##   ## # ### ###   #"}, {'X', "#   ##   # # #   #   # # #   ##   #"},
    {'Y', "#   ##   # # #   #    #    #    #  "}, {'Z', "#####    #   #   #   #   #    #####"},
    {'.', "                               ##  "}, {',', "                          ##   #   "},
    {':', "       #    #              #    #  "}, {'-', "               #####               "},
    {'+', "       #    #  #####  #    #       "}, {'=', "          #####     #####          "},
    {'/', "    #    #   #   #   #   #    #    "}, {'_', "                              #####"},
    {'(', "   #   #   #    #    #     #     # "}, {')', " #     #     #    #    #   #   #   "},
}};

const Glyph* glyph_of(char letter) {
    const char capital = static_cast<char>(std::toupper(static_cast<unsigned char>(letter)));
    const auto* const found =
        std::find_if(glyphs.begin(), glyphs.end(), [capital](const Glyph& g) { return g.letter == capital; });
    return found == glyphs.end() ? nullptr : found;
}

/// One rectangle for each unbroken run of squares in a row.
void add_glyph(const Glyph& glyph, Layer layer, int left, int square, std::vector<DrawnFigure>& into) {
    for (int row = 0; row < lettering_rows; ++row) {
        const std::string_view squares =
            glyph.rows.substr(static_cast<std::size_t>(row * glyph_columns), glyph_columns);
        const int low = (lettering_rows - 1 - row) * square;
        for (int from = 0; from < glyph_columns; ++from) {
            int to = from;
            while (to < glyph_columns && squares[static_cast<std::size_t>(to)] == '#') ++to;
            if (to > from)
                into.push_back({layer, corners_of({{left + from * square, low}, {left + to * square, low + square}})});
            from = to;
        }
    }
}

}  // namespace

DrawnFigure cross(Layer layer, int length, int width) {
    const int l = length / 2, w = width / 2;
    return {
        layer,
        {{-w, -l}, {w, -l}, {w, -w}, {l, -w}, {l, w}, {w, w}, {w, l}, {-w, l}, {-w, w}, {-l, w}, {-l, -w}, {-w, -w}}};
}

std::vector<DrawnFigure> frame(Layer layer, const DrawnBox& b, int width) {
    return {{layer, corners_of({b.low, {b.low.x + width, b.high.y}})},
            {layer, corners_of({{b.high.x - width, b.low.y}, b.high})},
            {layer, corners_of({{b.low.x + width, b.low.y}, {b.high.x - width, b.low.y + width}})},
            {layer, corners_of({{b.low.x + width, b.high.y - width}, {b.high.x - width, b.high.y}})}};
}

std::vector<DrawnFigure> corner_angles(Layer layer, const DrawnBox& b, int length, int width) {
    std::vector<DrawnFigure> angles;
    for (const int sx : {1, -1})
        for (const int sy : {1, -1}) {
            const DrawnPoint o{sx > 0 ? b.low.x : b.high.x, sy > 0 ? b.low.y : b.high.y};
            DrawnFigure angle{layer, {}};
            for (const auto& [u, v] : {std::pair(0, 0), std::pair(length, 0), std::pair(length, width),
                                       std::pair(width, width), std::pair(width, length), std::pair(0, length)})
                angle.corners.push_back({o.x + sx * u, o.y + sy * v});
            if (sx * sy < 0) std::reverse(angle.corners.begin(), angle.corners.end());
            angles.push_back(std::move(angle));
        }
    return angles;
}

std::string drawable(const std::string& text) {
    std::string drawn;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if ((byte & 0xC0U) == 0x80U) continue;  // goes on with the character before
        drawn.push_back(glyph_of(c) != nullptr ? static_cast<char>(std::toupper(byte)) : ' ');
    }
    return drawn;
}

std::string letter_without_strokes(const std::string& text) {
    for (std::size_t k = 0; k < text.size(); ++k) {
        if (text[k] == ' ' || glyph_of(text[k]) != nullptr) continue;
        std::size_t end = k + 1;
        while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
        return text.substr(k, end - k);
    }
    return "";
}

std::string letters_with_strokes() {
    return "A to Z (small letters become capitals), 0 to 9, blanks and . , : - + = / _ ( )";
}

std::vector<DrawnFigure> lettering(Layer layer, const std::string& text, int square) {
    std::vector<DrawnFigure> figures;
    int left = 0;
    for (const char letter : text) {
        if (const Glyph* glyph = glyph_of(letter)) add_glyph(*glyph, layer, left, square, figures);
        left += glyph_advance * square;
    }
    return figures;
}

int lettering_columns(const std::string& text) {
    return std::max(0, glyph_advance * static_cast<int>(text.size()) - 1);
}

}  // namespace tymbal
