//! Methods of a portfolio: figures of several sites as one.

use crate::estimate::method::{Method, methods};

methods! {
    SITES_SUM {
        id: "sites/sum",
        title: "Sum over sites",
        equation: "Σ of the sites' figures; money in exact decimals, each currency apart",
        assumptions: "Counts and sums, which have no interval. Sites whose documents could not be made are not in it",
        reference: "",
    }

    SITES_COUNT {
        id: "sites/count",
        title: "Count over sites",
        equation: "number of sites, of targets, of doubts, or of different species",
        assumptions: "Sites whose documents could not be made are not in it",
        reference: "",
    }

    SITES_JOINED {
        id: "sites/joined",
        title: "Sum or weighted mean of the sites' estimates, their errors taken to be independent",
        equation: "T = Σ w θ; L = T − √Σ w² (θ − l)², U = T + √Σ w² (u − θ)², with l and u the ends of each site's interval. Survival: w = \
                   stems planted on the site / stems planted on all sites with a survey; living stems: w = stems planted",
        assumptions: "Each site's plots are its own, so errors are independent and add up by their squares. The distance to each end \
                      stands for the standard error on that side, in the scale that the interval was made in; few plots keep the \
                      wide interval of theirs. Intervals of another confidence are stretched by normal quantiles. A survey that \
                      leans the same way on every site, as when dead stems are overlooked, is not in it",
        reference: "Zou & Donner (2008), Statistics in Medicine 27:1693-1702; Zou, Huang & Zhang (2009), Computational Statistics \
                    & Data Analysis 53:1080-1085",
    }

    SITES_JOINED_SHARED {
        id: "sites/joined-shared",
        title: "Sum of the sites' estimates, with the errors that all of them share",
        equation: "T = Σ θ; L = T − √(Σ own² + (Σ shared)²), U likewise; own² = (distance to the end)² − shared²",
        assumptions: "Carbon shares the errors of equations, root ratios and carbon fraction; soil shares those of R, K and LS. They \
                      are taken to pull every site the same way, so they do not average out over many sites; where sites rest on \
                      different equations or factors the sum is surer than its interval says. Sampling, boundaries and cover are \
                      each site's own. Where a site does not say what it shares, all of its error is taken as shared",
        reference: "JCGM 100:2008, Evaluation of measurement data, 5.2.2; IPCC (2006), Guidelines, volume 1, chapter 3; Zou & \
                    Donner (2008), Statistics in Medicine 27:1693-1702",
    }

    SITES_PER_LIVING_STEM {
        id: "sites/per-living-stem",
        title: "Money for each living stem, over sites",
        equation: "Σ spent / Σ living stems, over the sites that have both, each currency apart; the ends from those of the living stems",
        assumptions: "As for the stems that live; money is exact",
        reference: "",
    }
}
