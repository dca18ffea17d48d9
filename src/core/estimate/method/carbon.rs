//! Methods of carbon.

use crate::estimate::method::Account;

pub(crate) const ABOVE: Account = Account {
    id: "carbon/above-ground",
    title: "Carbon of living wood above the ground, from measured diameters",
    equation: "kg = c exp(a + b ln D) by the group of the plant, D at 10 cm or 130 cm, √Σ d² of several stems; plot Σ kg; \
               area Σ kg / Σ plan area of plots; × 0.47. a, b, c: shrubs −3.007, 2.428, 1.128; many stems −2.757, 2.474, \
               1.079; eucalypts −2.016, 2.375, 1.067; other dense woods −1.693, 2.220, 1.044; light woods −2.573, 2.460, 1.018",
    assumptions: "The latest measurement of each plot up to the period's end. Planted stems that were counted and not \
                  measured take the mean of their species in the plot, else in all plots. Plants under 1 cm at the base, \
                  and seedlings with a height alone, carry nothing. Limits join sampling, the lean of the equations \
                  (13 % within their sizes, 25 % beyond and where a diameter was converted, 40 % for equations made \
                  elsewhere; judgements) and the scatter of single plants",
    reference: "Paul et al. (2016), Global Change Biology 22:2106-2124; Chave et al. (2014), Global Change Biology \
                20:3177-3190; IPCC (2006), Guidelines, volume 4, table 4.3; Cochran (1977), Sampling Techniques, 3rd ed.",
};

pub(crate) const BELOW: Account = Account {
    id: "carbon/below-ground",
    title: "Carbon of living roots",
    equation: "kg = c exp(a + b ln D) plant by plant: shrubs and wattles −3.553, 2.185, 1.160; mallees −2.946, 2.302, 1.116; \
               other trees −2.682, 2.212, 1.096; else a ratio of roots to what stands above the ground; × 0.47",
    assumptions: "Saplings and wattles measured at breast height alone take the ratio of excavated plants, 0.29 and 0.32. \
                  The roots' own error is taken as 20 %, half the spread of ratios within a class of the IPCC's table",
    reference: "Paul et al. (2019), Forest Ecology and Management 432:102-114; IPCC (2006), Guidelines, volume 4, table 4.4; \
                Cairns et al. (1997), Oecologia 111:1-11; Mokany et al. (2006), Global Change Biology 12:84-96",
};

pub(crate) const STOCK: Account = Account {
    id: "carbon/stock",
    title: "Carbon of living wood and roots as carbon dioxide",
    equation: "(above + below) × plan hectares of the areas with plots × 44/12; limits by 10,000 draws with a fixed seed of \
               sampling (Student's t), equations (log-normal), roots, carbon fraction (0.44 to 0.49) and boundary (2 %)",
    assumptions: "An estimate for reporting: not a credit, not an offset, not verified by any scheme. Soil, litter, dead \
                  wood and grass are not in it. It can be lost again",
    reference: "IPCC (2006), Guidelines, volume 1, chapter 3, and volume 4, chapter 4",
};

pub(crate) const CAUTIOUS: Account = Account {
    id: "carbon/cautious",
    title: "Carbon stock less a part of its interval, the more the wider that is",
    equation: "stock − part × half-width of the 90 % interval by sampling; part 0 to ±10 %, 25 % to ±15 %, 50 % to ±20 %, 75 % \
               to ±30 %, 100 % beyond",
    assumptions: "To stand beside the stock, never instead of it. The table stands as remembered",
    reference: "CDM Executive Board, A/R methodological tool 14, version 4.2, appendix",
};

pub(crate) const CHANGE: Account = Account {
    id: "carbon/change",
    title: "Gain of carbon stock between two surveys, from plots that both measured",
    equation: "Σ (mass of now − mass of then) / Σ plan area over the plots of both, as for the stock; limits as for the stock",
    assumptions: "The same equations lean the same way in both surveys, so their error is that of the gain. A gain of the \
                  stock is not the gain that the project caused",
    reference: "IPCC (2006), Guidelines, volume 4, chapter 2 (stock-difference method)",
};

pub(crate) const PROJECTION: Account = Account {
    id: "carbon/projection",
    title: "Carbon stock carried forward by a curve of growth: a projection, not a measurement",
    equation: "C(then) = C(now) exp(k/a_now − k/a_then), k = 2 G − 1.25, a the age in years, G the age of fastest growth, no \
               more than the most that the site holds; band over the interval of now and the least and greatest G",
    assumptions: "Ages from the planting log, weighted by stems. Survival, species and climate stay as they are; no fire, \
                  drought or clearing. G and the most are the folder's. The band is not a confidence interval",
    reference: "Richards & Brack (2004), Australian Forestry 67:60-66; Waterworth et al. (2007), Forest Ecology and \
                Management 238:231-243; Roxburgh et al. (2019), Forest Ecology and Management 432:264-275",
};
