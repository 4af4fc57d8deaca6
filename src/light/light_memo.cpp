#include "tymbal/light/light_memo.h"

#include <algorithm>
#include <tuple>

namespace tymbal {

namespace {

auto ordered(const LatticeLight& l) {
    return std::tie(l.holes.lattice, l.holes.shape, l.holes.pitch_m, l.holes.size_m, l.wavelength_m);
}

auto ordered(const OpticalLayer& l) {
    return std::make_tuple(l.thickness_m, l.index.real(), l.index.imag());
}

}  // namespace

bool LightMemo::Before::operator()(const LatticeLight& a, const LatticeLight& b) const {
    if (ordered(a) != ordered(b)) return ordered(a) < ordered(b);
    return std::lexicographical_compare(
        a.layers.begin(), a.layers.end(), b.layers.begin(), b.layers.end(),
        [](const OpticalLayer& x, const OpticalLayer& y) { return ordered(x) < ordered(y); });
}

}  // namespace tymbal
