// Fields at the film: A and B arrive from the input and the end mirror, C = r A + t B and D = t A + r' B leave. A
// mirror sends them back, A = a C and B = b D, with a = sqrt(R1) exp(2 i omega L1/c) and b = sqrt(R2) exp(2 i omega
// L2/c). Both hold together where
//     F(omega, x) = 1 - r a - r' b + (r r' - t^2) a b = 0,
// and the root's frequency and decay are those of the cavity: omega - i kappa/2. Moving the film by x lengthens the
// input arm and shortens the other. Each of the four terms is f(omega) exp(phase), so that all derivatives of F are in
// closed form, and with them those of the root: omega' = -F_x/F_w, omega'' = -(F_xx + 2 F_xw omega' + F_ww
// omega'^2)/F_w. Source: Jayich et al., New J. Phys. 10, 095008 (2008) (from memory, re-derived).
#include "tymbal/cavity/resonance.h"

#include "../base/golden.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>

namespace tymbal {

namespace {

using Complex = std::complex<double>;
using Matrix = Eigen::Matrix2cd;
constexpr double c = constants::light_speed_m_per_s;
constexpr double two_pi = 2.0 * constants::pi;
const Complex i(0.0, 1.0);

/// One of the four terms of F: an amplitude of the film and its first two derivatives by frequency, times one round
/// trip through each arm that takes part.
struct Term {
    Complex value, slope, curve;
    double input_trips = 0.0, end_trips = 0.0;
};

/// F and its derivatives by frequency (w) and place (x).
struct Condition {
    Complex f, w, ww, x, xx, xw;
};

/// The film as S(d) = exp(i d Q) S(0), d the distance from the light's frequency: a film without loss stays one at
/// every frequency, which straight lines in d would not keep.
struct Scatterer {
    Matrix at_light;  ///< [[r, t], [t, r']]
    Matrix delays;    ///< Hermitian part of Q = -i S' S^-1 (Wigner and Smith), s: loss is kept as it is
};

struct Setting {
    CavityOptics optics;
    Scatterer film;
    double omega = 0.0;                                 ///< of the light
    double input_phase = 0.0, end_phase = 0.0;          ///< of the round trips at x = 0 and omega
    double input_amplitude = 0.0, end_amplitude = 0.0;  ///< of the mirrors
};

/// The root at one place, as a distance from the light's frequency.
struct Root {
    double x = 0.0;
    Complex d;
    Complex first, second;  ///< derivatives by x
};

double mirror_amplitude(const CavityMirror& m) {
    return std::sqrt(std::max(0.0, 1.0 - m.transmission - m.loss));
}

Scatterer scatterer(const FilmAmplitudes& f) {
    constexpr double lets_nothing_back = 1e-9;  // both ways together: such a film has no delay to speak of
    Matrix s, slope;
    s << f.reflected_front, f.transmitted, f.transmitted, f.reflected_back;
    slope << f.front_slope, f.transmitted_slope, f.transmitted_slope, f.back_slope;
    if (std::abs(s.determinant()) < lets_nothing_back) return {s, Matrix::Zero()};
    const Matrix delays = -i * slope * s.inverse();
    return {s, 0.5 * (delays + delays.adjoint())};
}

/// exp(i d Q) S(0) = exp(i d q) [cos(d p) + i sin(d p)/p (Q - q)] S(0), q half the trace and p^2 = -det(Q - q).
Matrix scattered(const Scatterer& film, Complex d) {
    const Complex q = 0.5 * film.delays.trace();
    const Matrix rest = film.delays - q * Matrix::Identity();
    const Complex turn = d * std::sqrt(-rest.determinant());
    const Complex over = std::abs(turn) < 1e-8 ? Complex(1.0) : std::sin(turn) / turn;
    return std::exp(i * d * q) * (std::cos(turn) * Matrix::Identity() + i * d * over * rest) * film.at_light;
}

std::array<Term, 4> terms_at(const Scatterer& film, Complex d) {
    const Matrix s = scattered(film, d), slope = i * film.delays * s, curve = i * film.delays * slope;
    const Complex both = s.determinant(), delay = i * film.delays.trace();
    return {Term{1.0, 0.0, 0.0, 0.0, 0.0}, Term{-s(0, 0), -slope(0, 0), -curve(0, 0), 1.0, 0.0},
            Term{-s(1, 1), -slope(1, 1), -curve(1, 1), 0.0, 1.0},
            Term{both, delay * both, delay * delay * both, 1.0, 1.0}};
}

Setting set_up(const CavityOptics& optics, const FilmAmplitudes& film) {
    Setting s{optics, scatterer(film), two_pi * c / optics.wavelength_m, 0.0, 0.0, 0.0, 0.0};
    s.input_amplitude = mirror_amplitude(optics.input);
    s.end_amplitude = optics.film_is_end ? 0.0 : mirror_amplitude(optics.end);
    if (optics.film_is_end) {
        s.input_phase = -std::arg(film.reflected_front);
        return s;
    }
    // The middle of the range: both reflections cancel and the rest is in phase; x = 0 lies an eighth of a wavelength
    // before it, at a turning point where the film is in the cavity's middle, else near one.
    const double in_phase = constants::pi - std::arg(s.film.at_light.determinant());
    const double skew = 0.5 * (std::arg(film.reflected_front) - std::arg(film.reflected_back));
    s.input_phase = 0.5 * in_phase - skew;
    s.end_phase = 0.5 * in_phase + skew;
    return s;
}

Condition condition_at(const Setting& s, double x, Complex d) {
    Condition out{};
    for (const Term& t : terms_at(s.film, d)) {
        const double input = t.input_trips, end = t.end_trips;
        const double amplitude = (input > 0.0 ? s.input_amplitude : 1.0) * (end > 0.0 ? s.end_amplitude : 1.0);
        if (amplitude == 0.0) continue;
        const Complex by_w = 2.0 * i / c * (input * (s.optics.input_arm_m + x) + end * (s.optics.end_arm_m - x));
        const Complex by_xw = 2.0 * i / c * (input - end), by_x = by_xw * (s.omega + d);
        const Complex e =
            amplitude * std::exp(i * (input * s.input_phase + end * s.end_phase) + by_w * d + by_xw * s.omega * x);
        const Complex &f = t.value, &fw = t.slope;
        out.f += f * e;
        out.w += (fw + f * by_w) * e;
        out.ww += (t.curve + 2.0 * fw * by_w + f * by_w * by_w) * e;
        out.x += f * by_x * e;
        out.xx += f * by_x * by_x * e;
        out.xw += (fw * by_x + f * by_xw + f * by_x * by_w) * e;
    }
    return out;
}

double spacing(const Setting& s) {  // of modes, rad/s
    return constants::pi * c / (s.optics.input_arm_m + s.optics.end_arm_m);
}

/// @return  false when Newton's method does not settle
bool settle(const Setting& s, Root& root) {
    constexpr int most = 40;
    constexpr double enough = 1e-13;  // of the mode spacing
    for (int step = 0; step < most; ++step) {
        const Condition at = condition_at(s, root.x, root.d);
        const Complex change = -at.f / at.w;
        if (!std::isfinite(change.real()) || !std::isfinite(change.imag())) return false;
        root.d += change;
        if (std::abs(change) > enough * spacing(s)) continue;
        const Condition here = condition_at(s, root.x, root.d);
        root.first = -here.x / here.w;
        root.second = -(here.xx + 2.0 * here.xw * root.first + here.ww * root.first * root.first) / here.w;
        return true;
    }
    return false;
}

/// How near another mode may come: a film that reflects well parts the arms, and their modes nearly cross.
double least_gap(const Setting& s) {
    const double amplitude = std::min(1.0, std::abs(s.film.at_light(0, 0)));
    const double gap = s.optics.film_is_end ? 1.0 : 2.0 / constants::pi * std::acos(amplitude);
    return std::max(gap, 1e-3) * spacing(s);
}

/// Follows the mode to another place, in steps over which its frequency bends little beside the gap to its neighbour.
Root follow(const Setting& s, Root root, double to) {
    const double gap = least_gap(s), shortest = 1e-9 * s.optics.wavelength_m;
    double most = s.optics.wavelength_m;
    while (root.x != to) {
        const double bend = std::sqrt(0.2 * gap / std::max(std::abs(root.second), 1e-300));
        const double length = std::min({std::abs(to - root.x), bend, most});
        const double step = std::copysign(length, to - root.x);
        Root next = root;
        next.x = length == std::abs(to - root.x) ? to : root.x + step;
        next.d += step * (root.first + 0.5 * step * root.second);
        const Complex guess = next.d;
        if (settle(s, next) && std::abs(next.d - guess) < 0.2 * gap) {
            root = next;
            most = 2.0 * length;
        } else {
            most = 0.5 * length;
            if (most < shortest)
                throw NoAnswer("the cavity's resonance is lost where the film moves: see cavity.length");
        }
    }
    return root;
}

struct Pair {
    Complex input, end;  ///< on the side of the input and of the end mirror
};

Pair leaving(const Matrix& film, const Pair& in) {
    return {film(0, 0) * in.input + film(0, 1) * in.end, film(1, 0) * in.input + film(1, 1) * in.end};
}

double power(const Pair& p) {
    return std::norm(p.input) + std::norm(p.end);
}

/// A and B, to a common factor.
Pair arriving(const Setting& s, const Root& root) {
    const auto trip = [&](double amplitude, double phase, double arm, double way) {
        return amplitude * std::exp(i * (phase + 2.0 * (s.omega * way * root.x + root.d * (arm + way * root.x)) / c));
    };
    const Matrix film = scattered(s.film, root.d);
    const Complex a = trip(s.input_amplitude, s.input_phase, s.optics.input_arm_m, 1.0);
    const Complex b = trip(s.end_amplitude, s.end_phase, s.optics.end_arm_m, -1.0);
    // (1 - a r) A = a t B and (1 - b r') B = b t A say the same; the larger pair is the one that rounding leaves whole.
    const Pair one{a * film(0, 1), 1.0 - a * film(0, 0)}, other{1.0 - b * film(1, 1), b * film(0, 1)};
    return power(one) > power(other) ? one : other;
}

/// What the film takes from waves of constant strength: those of a decaying mode bring back what the film has stored.
double absorbed(const Setting& s, const Root& root, const Pair& in) {
    return std::max(0.0, power(in) - power(leaving(scattered(s.film, root.d.real()), in)));
}

CavityPoint describe(const Setting& s, const Root& root) {
    const double kappa = -2.0 * root.d.imag();
    const Pair in = arriving(s, root), out = leaving(scattered(s.film, root.d), in);
    // A decaying mode was stronger when the light that now meets a mirror left the film.
    const double at_input = std::norm(out.input) * std::exp(kappa * s.optics.input_arm_m / c);
    const double at_end = std::norm(out.end) * std::exp(kappa * s.optics.end_arm_m / c);
    const double film = absorbed(s, root, in);
    const CavityMirror &first = s.optics.input, &end = s.optics.end;
    const double passed = s.optics.film_is_end ? at_end : (end.transmission + end.loss) * at_end;
    const double lost = (first.transmission + first.loss) * at_input + passed + film;
    const double left = std::norm(in.input) + std::norm(out.input);
    const double right = std::norm(in.end) + std::norm(out.end);
    const double share = 1.0 / (two_pi * lost);
    return {root.x,
            root.d.real() / two_pi,
            root.first.real() / two_pi,
            root.second.real() / two_pi,
            kappa / two_pi,
            kappa * film * share,
            kappa * first.transmission * at_input * share,
            left / (left + right),
            right / (left + right)};
}

/// The resonance at the turning point where the travel begins.
Root begin(const Setting& s) {
    // What a round trip leaves of the light sets the decay to start from.
    const Complex back = s.optics.film_is_end ? s.film.at_light(0, 0) : s.film.at_light.determinant();
    const double left = std::abs(back) * s.input_amplitude * (s.optics.film_is_end ? 1.0 : s.end_amplitude);
    const double arms = s.optics.input_arm_m + s.optics.end_arm_m;
    Root middle{0.0, Complex(0.0, 0.5 * c / arms * std::log(std::max(left, 1e-6))), 0.0, 0.0};
    if (!s.optics.film_is_end) middle.x = 0.125 * s.optics.wavelength_m;
    if (!settle(s, middle)) throw NoAnswer("the cavity has no resonance: its mirrors or the film hold no light");
    return follow(s, middle, 0.0);
}

/// Where the frequency turns between a place and another whose slope has the other sign.
Root turn_between(const Setting& s, Root at, double to) {
    constexpr int halvings = 40;
    for (int step = 0; step < halvings; ++step) {
        const Root middle = follow(s, at, 0.5 * (at.x + to));
        if (std::signbit(middle.first.real()) == std::signbit(at.first.real()))
            at = middle;
        else
            to = middle.x;
    }
    return at;
}

/// The turning point nearest to a place. Off the cavity's middle the phases alone do not tell where it is; an end
/// mirror has none.
Root nearest_turn(const Setting& s, const Root& from) {
    constexpr int steps = 64;  // half a wavelength has two turning points and more
    if (s.optics.film_is_end) return from;
    Root ahead = from, behind = from;
    for (int k = 1; k <= steps; ++k)
        for (Root* side : {&ahead, &behind}) {
            const double step = 0.25 * s.optics.wavelength_m / steps;
            const Root next = follow(s, *side, side->x + (side == &ahead ? step : -step));
            if (std::signbit(next.first.real()) != std::signbit(side->first.real()))
                return turn_between(s, *side, next.x);
            *side = next;
        }
    return from;
}

Root steepest_between(const Setting& s, const Root& from, double to) {
    const auto steepness = [&](double x) { return std::abs(follow(s, from, x).first.real()); };
    return follow(s, from, highest_between(steepness, from.x, to));
}

/// Places of largest coupling, one for each hill of |d omega/dx|; a cavity without hills has its first place.
std::vector<CavityPoint> steep_places(const Setting& s, const std::vector<Root>& roots) {
    std::vector<CavityPoint> places;
    const auto steepness = [&](std::size_t k) { return std::abs(roots[k].first.real()); };
    for (std::size_t k = 1; k + 1 < roots.size(); ++k)
        if (steepness(k) > steepness(k - 1) && steepness(k) >= steepness(k + 1))
            places.push_back(describe(s, steepest_between(s, roots[k - 1], roots[k + 1].x)));
    if (places.empty()) places.push_back(describe(s, roots.front()));
    return places;
}

CavityPoint best_of(const std::vector<CavityPoint>& places) {
    constexpr double alike = 1e-3;  // couplings that differ by less are equal
    const auto strength = [](const CavityPoint& p) { return std::abs(p.linear_coupling_hz_per_m); };
    double largest = 0.0;
    for (const CavityPoint& p : places) largest = std::max(largest, strength(p));
    std::vector<CavityPoint> best;
    std::copy_if(places.begin(), places.end(), std::back_inserter(best),
                 [&](const CavityPoint& p) { return strength(p) >= (1.0 - alike) * largest; });
    return *std::min_element(best.begin(), best.end(),
                             [](const CavityPoint& p, const CavityPoint& q) { return p.kappa_hz < q.kappa_hz; });
}

/// L_eff = L + (c/2) d(arg)/d(omega) of what the film adds to a round trip through all of the cavity. Beside a zero of
/// its reflection an end mirror's phase may run backwards, by more than a short cavity makes up for.
double effective_length(const Setting& s) {
    const Matrix& q = s.film.delays;
    const Complex reflected = s.film.at_light(0, 0);
    // d(arg) = Im(S'/S) of the end mirror, Re(trace Q) of r r' - t^2
    const Complex slope = (i * q * s.film.at_light)(0, 0);
    const double of_end = std::abs(reflected) > 0.0 ? (slope / reflected).imag() : 0.0;
    const double delay = s.optics.film_is_end ? of_end : q.trace().real();
    return s.optics.input_arm_m + s.optics.end_arm_m + 0.5 * c * delay;
}

}  // namespace

HalfWavelength along_half_wavelength(const CavityOptics& optics, const FilmAmplitudes& film, int count) {
    const Setting s = set_up(optics, film);
    std::vector<Root> roots{nearest_turn(s, begin(s))};
    const double origin = roots.front().x;
    for (int k = 1; k < count; ++k)
        roots.push_back(follow(s, roots.back(), origin + 0.5 * optics.wavelength_m * k / (count - 1)));
    HalfWavelength out;
    for (const Root& root : roots) out.points.push_back(describe(s, root));
    out.place = best_of(steep_places(s, roots));
    for (CavityPoint& p : out.points) p.position_m -= origin;
    out.place.position_m -= origin;
    for (std::size_t k = 1; k < out.points.size(); ++k) {  // the first is the last again
        const CavityPoint& p = out.points[k];
        out.kappa_mean_hz += p.kappa_hz / (count - 1);
        out.kappa_film_mean_hz += p.kappa_film_hz / (count - 1);
        out.largest_quadratic_coupling_hz_per_m2 =
            std::max(out.largest_quadratic_coupling_hz_per_m2, std::abs(p.quadratic_coupling_hz_per_m2));
    }
    if (!(out.kappa_mean_hz > 0.0))
        throw NoAnswer("mirrors and film lose less light than the errors of this arithmetic; give the mirrors more");
    const double length = effective_length(s);
    if (!(length > 0.0))
        throw NoAnswer(
            "the film reflects next to nothing at this wavelength, and its phase turns so fast there that the cavity "
            "has "
            "no even spacing of modes; choose another readout.wavelength or film.thickness, or a larger cavity.length");
    out.mode_spacing_hz = 0.5 * c / length;
    out.finesse = out.mode_spacing_hz / out.kappa_mean_hz;
    return out;
}

}  // namespace tymbal
