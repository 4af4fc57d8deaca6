#include "tymbal/light/fitted_film.h"

#include "fitted_field.h"

#include <algorithm>
#include <memory>

namespace tymbal {

namespace {

using fourier::FittedField, fourier::FittedOrder;

LayeredFilmAt upside_down(const LayeredFilmAt& film) {
    return [film](double wavelength_m) {
        LayeredFilm out = film(wavelength_m);
        std::reverse(out.layers.begin(), out.layers.end());
        return out;
    };
}

/// One field, for light from above and from below; a single layer is the same from both.
class FittedBothWays {
public:
    FittedBothWays(const HoleLattice& holes, const LayeredFilmAt& film, WavelengthRange range, LightField field)
        : film_(film), from_below_(upside_down(film)), above_({holes, film, field}, range) {
        if (film(range.from_m).layers.size() > 1)
            below_.emplace(fourier::LatticeProblem{holes, from_below_, field}, range);
    }

    [[nodiscard]] FieldResponse at(double wavelength_m) const {
        const FittedOrder o = above_.at(wavelength_m, film_(wavelength_m));
        const auto back = below_ ? below_->at(wavelength_m, from_below_(wavelength_m)).r : o.r;
        return {o.r, back, o.t, o.reflectivity, o.transmission, 0.0, 0.0, o.error};
    }

private:
    LayeredFilmAt film_, from_below_;
    FittedField above_;
    std::optional<FittedField> below_;
};

}  // namespace

std::function<SeenFilm(double)> fit_film(const HoleLattice& holes, const LayeredFilmAt& film, WavelengthRange range) {
    const auto along = std::make_shared<const FittedBothWays>(holes, film, range, LightField::along);
    const auto across = alike_along_and_across(holes)
                            ? along
                            : std::make_shared<const FittedBothWays>(holes, film, range, LightField::across);
    return
        [along, across](double wavelength_m) { return unpolarised(along->at(wavelength_m), across->at(wavelength_m)); };
}

}  // namespace tymbal
