// Wall time of plain outlines and of each stage of a design file: bench_modes [design.toml ...].
#include "task/holes_in_place.h"

#include "support/films.h"
#include "support/places.h"

#include "tymbal/film/unit_cell.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/task/laid_film.h"
#include "tymbal/task/predict.h"

#include "stopwatch.h"

#include <algorithm>
#include <cstdio>
#include <functional>
#include <string>

using namespace tymbal;

namespace {

double best_of_three(const std::function<void()>& work) {
    return std::min({seconds(work), seconds(work), seconds(work)});
}

void print_modes(const std::string& name, const ModeProblem& problem) {
    ModeSet set;
    const double time = best_of_three([&] { set = find_modes(problem); });
    const Level& fine = set.fine;
    const double level = best_of_three([&] { (void)solve_level(problem, fine.cells_x, fine.cells_y, set.rim); });
    std::printf("%-24s %8.3f s  %zu grids, finest %zu unknowns in %.3f s, %s\n", name.c_str(), time, set.spacing.size(),
                fine.grid.nodes.size(), level, set.rim == RimTreatment::resolved ? "resolved" : "thin layer");
}

void print_plain_outlines() {
    constexpr double side = 1e-3;
    const Outline l_shape =
        Polygon{{{0, 0}, {side, 0}, {side, 0.5 * side}, {0.5 * side, 0.5 * side}, {0.5 * side, side}, {0, side}}};
    const PaintedFilm film = simple::nitride(50e-9, 1e9);
    print_modes("square", {simple::rectangle(side, side), film, 12, 1e-3});
    print_modes("disc", {simple::disc(side), film, 12, 1e-3});
    print_modes("ring", {simple::ring(side, 0.4 * side), film, 12, 1e-3});
    print_modes("L", {l_shape, film, 12, 1e-3});
    print_modes("square plate", {simple::rectangle(side, side), simple::nitride(1e-6, 0.0), 12, 1e-3});
    print_modes("disc 1 um on 100 um", {simple::disc(0.1 * side), simple::nitride(1e-6, 1e9), 12, 1e-3});
}

void print_stages(const std::string& file, const Materials& materials) {
    const Device device = as_released(read_design(file), materials);
    const double accuracy = device.solve.accuracy;
    std::printf("\n%s\n", file.c_str());
    if (device.holes && device.holes->lattice != Lattice::list)
        std::printf("%-24s %8.3f s\n", "unit cell",
                    best_of_three([&] { (void)solve_cell(cell_problem(device.film, *device.holes, accuracy)); }));
    FilmOnOutline laid;
    std::printf("%-24s %8.3f s  with unit cell\n", "film and holes",
                best_of_three([&] { laid = lay_out(device, solve_cell); }));
    print_modes("modes", {device.outline, laid.film, device.solve.modes, accuracy});
    std::printf("%-24s %8.3f s\n", "whole prediction", best_of_three([&] { (void)predict(device, materials); }));
}

}  // namespace

int main(int argc, char** argv) {
    print_plain_outlines();
    const Materials materials = read_materials(places::source_dir() + "/materials");
    for (int k = 1; k < argc; ++k) print_stages(argv[k], materials);
    if (argc == 1) print_stages(places::source_dir() + "/examples/perforated-square.toml", materials);
}
