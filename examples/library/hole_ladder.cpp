// How much does a membrane's lowest mode move when its holes grow? Usage: hole_ladder DESIGN.toml
#include <tymbal/tymbal.h>

#include <cstdio>

using namespace tymbal;
using namespace tymbal::literals;

int main(int argc, char** argv) {
    if (argc < 2) return 2;
    try {
        const Materials materials = read_materials(MATERIALS);
        const Design drawn = read_design(argv[1]).with({{"solve.modes", 1}});
        std::printf("hole (um)  fill factor  f (MHz)  +-\n");
        for (const Length hole : {1.0_um, 1.5_um, 2.0_um, 2.5_um}) {
            const Design design = drawn.with({{"holes.diameter", hole}});
            const Prediction p = predict(as_released(design, materials), materials);
            const Mode& lowest = p.modes.front().mode;
            std::printf("%9.2f  %11.4f  %7.4f  %.4f\n", 1e6 * hole.si(), p.film.fill_factor.value_or(0.0),
                        1e-6 * lowest.frequency_hz, 1e-6 * lowest.frequency_std_hz);
        }
        return 0;
    } catch (const InputError& e) {  // bad input: e.place(), e.key() and e.message() say where, which and why
        std::fprintf(stderr, "%s\n", e.what());
        return 2;
    } catch (const NoAnswer& e) {
        std::fprintf(stderr, "no answer: %s\n", e.what());
        return 1;
    }
}
