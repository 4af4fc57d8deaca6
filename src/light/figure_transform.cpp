// Let s grow the figure about its centre, s = 1 its edge. A shell of the grown figure has the normal of the edge that
// it lies on, so with the window w(s)
//     N_ij(G) = Sum_edges n_i n_j Int w(s) s a L cos(s G m) sinc(s G t/2) ds
// (a the edge's distance from the centre, L its length, m its middle, t the edge as a vector). Circles sum over their
// directions first:
//     N_xx, N_yy = pi Int w (J0(Gr) -+ cos 2 phi J2(Gr)) r dr,  N_xy = -pi sin 2 phi Int w J2(Gr) r dr,  phi of G.
// The window rises as a squared sine from the centre to the edge and falls as a squared cosine to where the grown
// figure would reach the neighbour's edge: there the neighbour's window is 1, and between parallel edges both add to 1.
// It is smooth on either side, so the Gauss rule below is exact to rounding; the area itself is in closed form,
//     circle 2 pi r^2 J1(Gr)/(Gr),  polygon (1/G^2) Sum_edges (G n) L sin(G m) sinc(G t/2).
// Normal vectors: Schuster et al., J. Opt. Soc. Am. A 24, 2880 (2007) (from memory).
#include "figure_transform.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal::fourier {

namespace {

using constants::pi;
constexpr int nodes = 48;  // of the Gauss rule on either side of the edge: a window times some ten periods of a cosine

struct Rule {
    std::array<double, nodes> along{};              ///< on (0, 1), from centre to edge and from edge to edge
    std::array<double, nodes> rising{}, falling{};  ///< weights times the window's two sides
};

/// Gauss and Legendre, by Newton's method on P_n.
Rule make_rule() {
    Rule rule;
    for (std::size_t k = 0; k < nodes; ++k) {
        double x = std::cos(pi * (static_cast<double>(k) + 0.75) / (nodes + 0.5)), slope = 1.0;
        for (int step = 0; step < 8; ++step) {
            double p = 1.0, before = 0.0;
            for (int n = 1; n <= nodes; ++n) {
                const double next = ((2.0 * n - 1.0) * x * p - (n - 1.0) * before) / n;
                before = p;
                p = next;
            }
            slope = nodes * (x * p - before) / (x * x - 1.0);
            x -= p / slope;
        }
        const double along = 0.5 * (x + 1.0), weight = 1.0 / ((1.0 - x * x) * slope * slope);
        rule.along[k] = along;
        rule.rising[k] = weight * std::pow(std::sin(0.5 * pi * along), 2);
        rule.falling[k] = weight * std::pow(std::cos(0.5 * pi * along), 2);
    }
    return rule;
}

/// Integral of window(s) f(s) ds from the hole's centre over its edge to the neighbour's.
template <class F>
double windowed(double touching, const F& f) {
    static const Rule rule = make_rule();
    const double solid = 2.0 * (touching - 1.0);  // between the two edges, in units of the figure
    double sum = 0.0;
    for (std::size_t k = 0; k < nodes; ++k) {
        const double along = rule.along[k];
        sum += rule.rising[k] * f(along) + solid * rule.falling[k] * f(1.0 + solid * along);
    }
    return sum;
}

double sinc(double x) {
    return std::abs(x) < 1e-4 ? 1.0 - x * x / 6.0 : std::sin(x) / x;
}

/// POSIX has j0 and j1, some ten times as fast as std::cyl_bessel_j. Right to rounding of j0.
double j2(double x) {
    return std::abs(x) < 1e-3 ? 0.125 * x * x * (1.0 - x * x / 12.0) : 2.0 * j1(x) / x - j0(x);
}

FigureTransform transform_polygon(const std::vector<Point>& figure, double touching, Point g) {
    const double square = g.x * g.x + g.y * g.y;
    FigureTransform out;
    for (std::size_t k = 0; k < figure.size() / 2; ++k) {  // the edge across adds the same
        const Point a = figure[k], b = figure[(k + 1) % figure.size()];
        const Point edge{b.x - a.x, b.y - a.y}, middle{0.5 * (a.x + b.x), 0.5 * (a.y + b.y)};
        const double length = std::hypot(edge.x, edge.y);
        const Point normal{edge.y / length, -edge.x / length};
        const double away = normal.x * middle.x + normal.y * middle.y;
        const double across = g.x * middle.x + g.y * middle.y, along = 0.5 * (g.x * edge.x + g.y * edge.y);
        out.open += square > 0.0
                        ? 2.0 * (g.x * normal.x + g.y * normal.y) * length * std::sin(across) * sinc(along) / square
                        : away * length;
        const double shells = 2.0 * away * length *
                              windowed(touching, [&](double s) { return s * std::cos(s * across) * sinc(s * along); });
        out.xx += normal.x * normal.x * shells;
        out.xy += normal.x * normal.y * shells;
        out.yy += normal.y * normal.y * shells;
    }
    return out;
}

}  // namespace

FigureTransformer::FigureTransformer(const Cell& cell)
    : touching_(growth_until_touching(cell)), radius_(0.5 * cell.size), corners_(corners(cell)) {}

FigureTransform FigureTransformer::circle(Point g) {
    constexpr double finest = 1e9;  // |G| are equal when they agree to a billionth of the hole's size
    const double k = std::hypot(g.x, g.y), x = k * radius_, square = std::max(k * k, 1e-300);
    const auto moment = [&](double (*bessel)(double)) {
        return radius_ * radius_ * windowed(touching_, [&](double s) { return s * bessel(x * s); });
    };
    const auto [place, fresh] = moments_.try_emplace(std::llround(finest * x));
    if (fresh) place->second = {moment(j0), k > 0.0 ? moment(j2) : 0.0};
    const Moments& m = place->second;
    const double cos2 = (g.x * g.x - g.y * g.y) / square, sin2 = 2.0 * g.x * g.y / square;
    const double share = x > 1e-8 ? 2.0 * j1(x) / x : 1.0;
    return {pi * radius_ * radius_ * share, pi * (m.even - cos2 * m.turning), -pi * sin2 * m.turning,
            pi * (m.even + cos2 * m.turning)};
}

FigureTransform FigureTransformer::operator()(Point g) {
    return corners_.empty() ? circle(g) : transform_polygon(corners_, touching_, g);
}

}  // namespace tymbal::fourier
