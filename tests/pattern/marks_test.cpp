#include "tymbal/pattern/marks.h"
#include "tymbal/pattern/room.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <set>
#include <string>
#include <vector>

using namespace tymbal;

namespace {

/// The lettering painted back into rows of text, top row first.
std::vector<std::string> painted(const std::string& text) {
    std::vector<std::string> rows(lettering_rows, std::string(static_cast<std::size_t>(lettering_columns(text)), '.'));
    for (const DrawnFigure& f : lettering(Layer::marks, text, 10))
        for (int x = f.corners[0].x / 10; x < f.corners[2].x / 10; ++x)
            rows[static_cast<std::size_t>(lettering_rows - 1 - f.corners[0].y / 10)][static_cast<std::size_t>(x)] = '#';
    return rows;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("letters read from left to right, upright") {
        const std::vector<std::string> wanted{"#......###.", "#.....#...#", "#.........#", "#.......##.",
                                              "#......#...", "#.....#....", "#####.#####"};
        CHECK(painted("L2") == wanted);
    }

    TEST_CASE("a text is drawn in capitals, and what has no letter is one blank") {
        CHECK(drawable("Drum \xC2\xB5m #3/4") == "DRUM  M  3/4");
        CHECK(lettering(Layer::marks, " ", 10).empty());
        CHECK(lettering_columns("") == 0);
    }

    TEST_CASE("a frame's four strips do not overlap and lie inside the box") {
        const DrawnBox box{{-100, -50}, {100, 50}};
        long area = 0;
        for (const DrawnFigure& f : frame(Layer::frame, box, 10))
            area += static_cast<long>(f.corners[2].x - f.corners[0].x) * (f.corners[2].y - f.corners[0].y);
        CHECK(area == 200 * 100 - 180 * 80);
    }

    TEST_CASE("crosses and corner angles run counter-clockwise") {
        std::vector<DrawnFigure> all = corner_angles(Layer::witnesses, {{0, 0}, {100, 80}}, 30, 10);
        all.push_back(cross(Layer::marks, 100, 10));
        for (const DrawnFigure& f : all) {
            long twice = 0;
            for (std::size_t k = 0; k < f.corners.size(); ++k) {
                const DrawnPoint a = f.corners[k], b = f.corners[(k + 1) % f.corners.size()];
                twice += static_cast<long>(a.x) * b.y - static_cast<long>(b.x) * a.y;
            }
            CHECK(twice == 2 * (f.corners.size() == 12 ? 100 * 10 * 2 - 100 : 30 * 10 + 20 * 10));
        }
    }

    TEST_CASE("room is found beside what is taken, at the clearance, or not at all") {
        const ChipRoom room{{{-100, -100}, {100, 100}}, 10, {{{-20, -20}, {20, 20}}}};
        const auto at = find_room(room, 30, 30, {0, 0});
        REQUIRE(at);
        CHECK(is_free(room, {*at, {at->x + 30, at->y + 30}}));
        CHECK((at->x == 30 || at->x == -60 || at->y == 30 || at->y == -60));
        CHECK_FALSE(find_room(room, 80, 80, {0, 0}));
        CHECK_FALSE(is_free(room, {{80, 80}, {101, 90}}));
        CHECK_FALSE(is_free(room, {{29, 0}, {40, 10}}));
    }

    TEST_CASE("of all places where a box fits, flush or beside what is taken, the nearest is found") {
        std::mt19937 random(7);
        const auto dice = [&](int low, int high) {
            return low + static_cast<int>(random() % static_cast<unsigned>(high - low + 1));
        };
        int found = 0;
        for (int round = 0; round < 300; ++round) {
            ChipRoom room{{{-60, -50}, {60, 50}}, dice(0, 6), {}};
            for (int k = dice(0, 12); k > 0; --k) {
                const DrawnPoint low{dice(-60, 50), dice(-50, 40)};
                room.taken.push_back({low, {low.x + dice(2, 20), low.y + dice(2, 20)}});
            }
            const int width = dice(5, 40), height = dice(5, 30);
            const DrawnPoint near{dice(-60, 60), dice(-50, 50)};
            const auto far = [&](int x, int y) {
                return std::hypot(x + 0.5 * width - near.x, y + 0.5 * height - near.y);
            };
            // Every whole number that a side of a box or its clearance can put the corner at.
            std::set<int> xs{-60, 60 - width}, ys{-50, 50 - height};
            for (const DrawnBox& t : room.taken) {
                xs.insert({t.high.x + room.clearance, t.low.x - room.clearance - width, t.low.x, t.high.x - width});
                ys.insert({t.high.y + room.clearance, t.low.y - room.clearance - height, t.low.y, t.high.y - height});
            }
            double least = INFINITY;
            for (const int y : ys)
                for (const int x : xs)
                    if (is_free(room, {{x, y}, {x + width, y + height}})) least = std::min(least, far(x, y));
            const auto at = find_room(room, width, height, near);
            REQUIRE(at.has_value() == std::isfinite(least));
            if (!at) continue;
            ++found;
            CHECK(is_free(room, {*at, {at->x + width, at->y + height}}));
            CHECK(far(at->x, at->y) == least);
        }
        CHECK(found > 100);
        CHECK(found < 300);
    }
}
